// How the book's own roads look: paper and ink, broad roads first as one zooms out.
import Stroke from 'ol/style/Stroke'
import Style from 'ol/style/Style'
import Text from 'ol/style/Text'
import Fill from 'ol/style/Fill'
import type { FeatureLike } from 'ol/Feature'

type Rank = 'fast' | 'main' | 'linking' | 'local' | 'track' | 'ferry'
const ranks: Record<string, Rank> = {
  motorway: 'fast', motorway_link: 'fast', trunk: 'fast', trunk_link: 'fast', fast: 'fast',
  primary: 'main', primary_link: 'main', secondary: 'main', secondary_link: 'main', main: 'main',
  tertiary: 'linking', tertiary_link: 'linking', unclassified: 'linking', linking: 'linking',
  track: 'track', path: 'track', ferry: 'ferry',
}
const looks: Record<Rank, { width: number; casing: number; order: number }> = {
  fast: { width: 4.6, casing: 6.4, order: 6 },
  main: { width: 3.2, casing: 4.6, order: 5 },
  linking: { width: 2, casing: 3.2, order: 4 },
  local: { width: 1.1, casing: 0, order: 3 },
  track: { width: 0.9, casing: 0, order: 2 },
  ferry: { width: 1.4, casing: 0, order: 2 },
}
const inksOf = (dark: boolean): Record<Rank, [string, string]> =>
  dark
    ? {
        fast: ['#6d5f3d', '#8a7a52'], main: ['#4d4838', '#6a6350'], linking: ['#3b3f3e', '#555a58'],
        local: ['#3d4443', ''], track: ['#343a39', ''], ferry: ['#3d5566', ''],
      }
    : {
        fast: ['#f6e3b4', '#a09684'], main: ['#fcf4dc', '#b3aa9a'], linking: ['#ffffff', '#c3bcae'],
        local: ['#cdc7bb', ''], track: ['#d3cdc2', ''], ferry: ['#8aa3b8', ''],
      }

const made = new Map<string, Style[]>()
const nothing: Style[] = []

export function roadStyle(dark: boolean): (feature: FeatureLike, resolution: number) => Style[] {
  return (feature, resolution) => {
    const rank = ranks[String(feature.get('class') ?? '')] ?? 'local'
    const zoom = Math.round(Math.log2(156543.034 / resolution))
    if ((rank === 'local' || rank === 'track') && zoom < 10) return nothing
    const name = zoom >= 14 && rank !== 'track' ? String(feature.get('name') ?? '') : ''
    const key = `${dark} ${rank} ${zoom} ${name}`
    let styles = made.get(key)
    if (!styles) {
      if (made.size > 4000) made.clear()
      const look = looks[rank]
      const scale = Math.min(2.6, Math.max(0.42, 0.55 + (zoom - 11) * 0.22))
      const [fill, casing] = inksOf(dark)[rank]
      styles = []
      if (look.casing && casing) {
        styles.push(new Style({
          stroke: new Stroke({ color: casing, width: look.casing * scale, lineCap: 'butt' }),
          zIndex: look.order,
        }))
      }
      styles.push(new Style({
        stroke: new Stroke({
          color: fill,
          width: look.width * scale,
          ...(rank === 'track' ? { lineDash: [5, 4] } : rank === 'ferry' ? { lineDash: [8, 6] } : {}),
        }),
        zIndex: look.order + 10,
      }))
      if (name) {
        styles.push(new Style({
          text: new Text({
            text: name,
            placement: 'line',
            font: '500 11px system-ui, sans-serif',
            fill: new Fill({ color: dark ? '#b9b3a4' : '#5a564d' }),
            stroke: new Stroke({ color: dark ? '#1b2124' : '#f5f2ea', width: 3 }),
          }),
          zIndex: 40,
        }))
      }
      made.set(key, styles)
    }
    return styles
  }
}
