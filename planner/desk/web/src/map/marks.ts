// Nests as canvas pictures for the map, made once for each look.
import Icon from 'ol/style/Icon'
import Style from 'ol/style/Style'
import { combFilled, combPath, crewInk, filling, inks, outlineOf, outlines } from '../core/shapes'

const ratio = Math.min(3, Math.max(1, typeof devicePixelRatio === 'number' ? devicePixelRatio : 1))
/** A large screen has a larger root size; the marks grow with it. */
const grow = typeof document === 'undefined' ? 1
  : Math.max(1, parseFloat(getComputedStyle(document.documentElement).fontSize) / 16)
const styles = new Map<string, Style>()

export interface MarkLook {
  speciesName: string
  stage: string
  dark: boolean
  crew?: { index: number; words: string }
  chosen?: boolean
  faint?: boolean
}

function draw(look: MarkLook, size: number): HTMLCanvasElement {
  const canvas = document.createElement('canvas')
  const halo = 4
  canvas.width = canvas.height = Math.round((size + 2 * halo) * ratio)
  const pen = canvas.getContext('2d')!
  pen.scale(ratio, ratio)
  pen.translate(halo, halo)
  pen.scale(size / 24, size / 24)
  const outline = outlineOf(look.speciesName)
  const paper = look.dark ? '#14191c' : '#fffdf7'
  const ink = look.crew ? crewInk(look.crew.index, look.dark) : inks[outline][look.dark ? 1 : 0]
  const shape = new Path2D(outlines[outline])
  if (look.chosen) {
    pen.lineWidth = 8
    pen.strokeStyle = look.dark ? '#ffd166' : '#1f2a30'
    pen.lineJoin = 'round'
    pen.stroke(shape)
  }
  pen.lineWidth = 4
  pen.strokeStyle = paper
  pen.lineJoin = 'round'
  pen.stroke(shape)
  const { level, broken } = filling(look.stage)
  if (look.crew) {
    pen.fillStyle = ink
    pen.fill(shape)
    pen.fillStyle = look.dark ? '#10161a' : '#ffffff'
    pen.font = `700 ${look.crew.words.length > 2 ? 9 : 10.5}px system-ui, sans-serif`
    pen.textAlign = 'center'
    pen.textBaseline = 'middle'
    pen.fillText(look.crew.words, 12, outline === 'drop' ? 14 : 12.6)
  } else {
    pen.globalAlpha = look.faint ? 0.75 : 1
    pen.fillStyle = paper
    pen.fill(shape)
    pen.lineWidth = 2
    pen.strokeStyle = ink
    pen.stroke(shape)
    if (outline === 'drop') pen.translate(0, 2)
    if (level > 0) {
      pen.fillStyle = ink
      pen.fill(new Path2D(combFilled(level)))
    }
    pen.lineWidth = 1.2
    pen.stroke(new Path2D(combPath))
    if (broken) {
      pen.lineWidth = 2.4
      pen.strokeStyle = level > 0 ? paper : ink
      pen.stroke(new Path2D('M7 17 17 7'))
    }
  }
  return canvas
}

export function markStyle(look: MarkLook): Style {
  const size = Math.round((look.crew ? 30 : look.faint ? 20 : 24) * grow)
  const key = JSON.stringify([look, size])
  let style = styles.get(key)
  if (!style) {
    style = new Style({
      image: new Icon({ img: draw(look, size), scale: 1 / ratio, declutterMode: 'none' }),
      zIndex: look.chosen ? 30 : look.crew ? 20 : 10,
    })
    styles.set(key, style)
  }
  return style
}

export function depotStyle(letter: string, index: number, dark: boolean): Style {
  const key = `depot ${letter} ${index} ${dark}`
  let style = styles.get(key)
  if (!style) {
    const canvas = document.createElement('canvas')
    canvas.width = canvas.height = 34 * ratio
    const pen = canvas.getContext('2d')!
    pen.scale(ratio, ratio)
    const house = new Path2D('M17 3 31 14V30H3V14z')
    pen.lineJoin = 'round'
    pen.lineWidth = 4
    pen.strokeStyle = dark ? '#14191c' : '#fffdf7'
    pen.stroke(house)
    pen.fillStyle = dark ? '#f1ede2' : '#1f2a30'
    pen.fill(house)
    pen.fillStyle = crewInk(index, dark)
    pen.fillRect(3, 26.5, 28, 3.5)
    pen.fillStyle = dark ? '#14191c' : '#ffffff'
    pen.font = '700 14px system-ui, sans-serif'
    pen.textAlign = 'center'
    pen.textBaseline = 'middle'
    pen.fillText(letter, 17, 18.5)
    style = new Style({
      image: new Icon({ img: canvas, scale: grow / ratio, declutterMode: 'none' }), zIndex: 15,
    })
    styles.set(key, style)
  }
  return style
}

/** An arrow along a tour, pointing east before it is turned. */
export function arrowImage(index: number, dark: boolean): HTMLCanvasElement {
  const canvas = document.createElement('canvas')
  canvas.width = canvas.height = 18 * ratio
  const pen = canvas.getContext('2d')!
  pen.scale(ratio, ratio)
  const arrow = new Path2D('M2 3.500 16 9 2 14.500 5.500 9z')
  pen.lineWidth = 2.5
  pen.lineJoin = 'round'
  pen.strokeStyle = dark ? '#14191c' : '#fffdf7'
  pen.stroke(arrow)
  pen.fillStyle = crewInk(index, dark)
  pen.fill(arrow)
  return canvas
}
export const pixelRatio = ratio
export const markGrowth = grow
