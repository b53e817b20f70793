// The map: the book's roads, the day's tours, the nests, and a density when one is asked for.
import Feature, { type FeatureLike } from 'ol/Feature'
import OlMap from 'ol/Map'
import View from 'ol/View'
import MVT from 'ol/format/MVT'
import GeoJSON from 'ol/format/GeoJSON'
import LineString from 'ol/geom/LineString'
import Point from 'ol/geom/Point'
import VectorLayer from 'ol/layer/Vector'
import VectorTileLayer from 'ol/layer/VectorTile'
import VectorSource from 'ol/source/Vector'
import VectorTileSource from 'ol/source/VectorTile'
import Fill from 'ol/style/Fill'
import Icon from 'ol/style/Icon'
import Stroke from 'ol/style/Stroke'
import Style from 'ol/style/Style'
import { defaults as interactions } from 'ol/interaction/defaults'
import { fromLonLat, toLonLat, transformExtent } from 'ol/proj'
import { createXYZ } from 'ol/tilegrid'
import { crewInk } from '../core/shapes'
import type { CrewDay, DayPlan, WaitingCall } from '../core/types'
import { arrowImage, depotStyle, markGrowth, markStyle, pixelRatio } from './marks'
import { roadStyle } from './ground'
import { densityInk } from './density_inks'

export interface MapNest {
  call: string
  label: string
  speciesName: string
  stage: string
  lon: number
  lat: number
  faint?: boolean
  crew?: { index: number; words: string }
}

export class DeskMap {
  private readonly map: OlMap
  private readonly roads: VectorTileLayer
  private readonly nests = new VectorSource()
  private readonly tours = new VectorSource()
  private readonly depots = new VectorSource()
  private readonly density = new VectorSource()
  private readonly layers: VectorLayer[]
  private dark = false
  private chosen = ''
  private fitted = ''
  private shown: [number, number, number, number] | null = null
  private touched = false
  private press: ReturnType<typeof setTimeout> | undefined

  constructor(
    private readonly target: HTMLElement,
    extent: [number, number, number, number] | null,
    withRoads: boolean,
    private readonly on: {
      nest: (call: string) => void
      spot: (lon: number, lat: number) => void
      moved: (metresAPixel: number) => void
      ready: () => void
    },
  ) {
    this.roads = new VectorTileLayer({
      source: new VectorTileSource({
        format: new MVT(),
        url: '/tiles/roads/{z}/{x}/{y}.mvt',
        tileGrid: createXYZ({ minZoom: 6, maxZoom: 14, tileSize: 512 }),
        transition: 0,
      }),
      renderMode: 'hybrid',
      renderBuffer: 16,
      updateWhileInteracting: false,
      visible: withRoads,
      declutter: true,
    })
    const vector = (source: VectorSource, style: (feature: FeatureLike, resolution: number) => Style | Style[] | void, quick = true): VectorLayer =>
      new VectorLayer({ source, style, updateWhileInteracting: quick, updateWhileAnimating: quick })
    const densityLayer = vector(this.density, (feature) => this.densityStyle(feature), false)
    densityLayer.setOpacity(0.72)
    this.layers = [
      densityLayer,
      vector(this.tours, (feature, resolution) => this.tourStyle(feature, resolution), false),
      vector(this.depots, (feature) =>
        depotStyle(String(feature.get('letter')), Number(feature.get('index')), this.dark)),
      vector(this.nests, (feature) => {
        const nest = feature.get('nest') as MapNest
        return markStyle({
          speciesName: nest.speciesName,
          stage: nest.stage,
          dark: this.dark,
          ...(nest.crew ? { crew: nest.crew } : {}),
          ...(nest.faint ? { faint: true } : {}),
          ...(nest.call === this.chosen ? { chosen: true } : {}),
        })
      }),
    ]
    const calm = matchMedia('(prefers-reduced-motion: reduce)').matches
    this.map = new OlMap({
      target,
      controls: [],
      interactions: interactions({
        altShiftDragRotate: false, pinchRotate: false,
        ...(calm ? { zoomDuration: 0 } : {}),
      }),
      layers: [this.roads, ...this.layers],
      view: new View({
        center: [0, 0], zoom: 2, minZoom: 6, maxZoom: 19, enableRotation: false,
      }),
      // Few at once: reading one takes some milliseconds, and a pan must not wait for many.
      maxTilesLoading: 2,
    })
    if (extent) this.fit(extent)
    this.map.on('singleclick', (event) => {
      this.on.nest(this.nestAt(event.pixel, 20)?.call ?? '')
    })
    this.map.on('pointermove', (event) => {
      if (event.dragging) return
      target.style.cursor = this.nestAt(event.pixel, 16) ? 'pointer' : ''
    })
    this.map.on('moveend', () => this.tellScale())
    this.map.once('rendercomplete', () => this.on.ready())
    this.listenForSpots()
    for (const kind of ['wheel', 'keydown'] as const) {
      target.addEventListener(kind, () => (this.touched = true), { passive: true })
    }
    this.map.on('pointerdrag', () => (this.touched = true))
  }

  /** The nearest nest within so many pixels. By its place, not by what is painted: to read pixels
   *  back from the canvas stops the page for a tenth of a second. */
  private nestAt(pixel: number[], reach: number): MapNest | undefined {
    const at = this.map.getCoordinateFromPixel(pixel)
    const near = at && this.nests.getClosestFeatureToCoordinate(at)
    const place = near?.getGeometry()
    if (!near || !(place instanceof Point)) return undefined
    const [x, y] = this.map.getPixelFromCoordinate(place.getCoordinates())
    return Math.hypot(x! - pixel[0]!, y! - pixel[1]!) <= reach ? near.get('nest') as MapNest : undefined
  }

  private tellScale(): void {
    const view = this.map.getView()
    const centre = view.getCenter()
    const resolution = view.getResolution()
    if (!centre || !resolution) return
    const [, lat] = toLonLat(centre)
    this.on.moved(resolution * Math.cos((lat! * Math.PI) / 180))
  }

  /** A right click, or a finger that stays, names a spot. */
  private listenForSpots(): void {
    const spotAt = (clientX: number, clientY: number): void => {
      const box = this.target.getBoundingClientRect()
      const at = this.map.getCoordinateFromPixel([clientX - box.left, clientY - box.top])
      if (!at) return
      const [lon, lat] = toLonLat(at)
      this.on.spot(lon!, lat!)
    }
    this.target.addEventListener('contextmenu', (event) => {
      event.preventDefault()
      spotAt(event.clientX, event.clientY)
    })
    let from: [number, number] | null = null
    const stop = (): void => {
      clearTimeout(this.press)
      from = null
    }
    this.target.addEventListener('pointerdown', (event) => {
      stop()
      if (event.pointerType === 'mouse' || !event.isPrimary) return
      from = [event.clientX, event.clientY]
      this.press = setTimeout(() => from && spotAt(...from), 650)
    })
    this.target.addEventListener('pointermove', (event) => {
      if (from && Math.hypot(event.clientX - from[0], event.clientY - from[1]) > 10) stop()
    })
    this.target.addEventListener('pointerup', stop)
    this.target.addEventListener('pointercancel', stop)
  }

  setDark(dark: boolean): void {
    this.dark = dark
    this.roads.setStyle(roadStyle(dark))
    for (const layer of this.layers) layer.changed()
  }

  setNests(nests: MapNest[]): void {
    this.nests.clear(true)
    this.nests.addFeatures(nests.map((nest) => {
      const feature = new Feature(new Point(fromLonLat([nest.lon, nest.lat])))
      feature.set('nest', nest, true)
      return feature
    }))
  }

  setChosen(call: string): void {
    if (this.chosen === call) return
    this.chosen = call
    this.layers[3]!.changed()
  }

  /** Puts a chosen nest into view, without a jump when it is there already. */
  show(call: string): void {
    const feature = this.nests.getFeatures().find((one) => (one.get('nest') as MapNest).call === call)
    const at = (feature?.getGeometry() as Point | undefined)?.getCoordinates()
    const size = this.map.getSize()
    if (!at || !size) return
    const pixel = this.map.getPixelFromCoordinate(at)
    const inside = pixel && pixel[0]! > 40 && pixel[1]! > 40 && pixel[0]! < size[0]! - 40 && pixel[1]! < size[1]! - 40
    if (inside) return
    this.touched = true
    this.map.getView().setCenter(at)
  }

  setPlan(plan: DayPlan | null): void {
    this.tours.clear(true)
    this.depots.clear(true)
    if (!plan) return
    this.depots.addFeatures(plan.crews.map((crew) => {
      const feature = new Feature(new Point(fromLonLat([crew.depot.lon, crew.depot.lat])))
      feature.setProperties({ letter: crew.letter, index: crew.index }, true)
      return feature
    }))
    this.tours.addFeatures(this.tourFeatures(plan))
    if (plan.on !== this.fitted) {
      // The first plan of a day is put into view; later ones leave the view to the user.
      this.fitted = plan.on
      this.fitCalls([...plan.crews.flatMap((crew) => crew.stops.map((stop) => stop.call)),
        ...plan.crews.map((crew) => ({ ...crew.depot, call: '', label: '', speciesName: '', stage: '' }))])
    }
  }

  private tourFeatures(plan: DayPlan): Feature[] {
    if (plan.tours) {
      const read = new GeoJSON().readFeatures(plan.tours, { featureProjection: 'EPSG:3857' }) as Feature[]
      const lines = read.filter((feature) => /Line/.test(feature.getGeometry()?.getType() ?? ''))
      for (const line of lines) {
        const crew = String(line.get('crew') ?? line.get('name') ?? '')
        line.set('index', plan.crews.find((one) => one.name === crew || one.id === crew || one.letter === crew)?.index ?? 0, true)
      }
      if (lines.length) return lines
    }
    return plan.crews.filter((crew) => crew.stops.length).map((crew: CrewDay) => {
      const spots = [crew.depot, ...crew.stops.map((stop) => stop.call), crew.depot]
      const line = new Feature(new LineString(spots
        .filter((spot) => spot.lon !== null && spot.lat !== null)
        .map((spot) => fromLonLat([spot.lon!, spot.lat!]))))
      line.set('index', crew.index, true)
      return line
    })
  }

  private tourStyle(feature: FeatureLike, resolution: number): Style[] {
    const index = Number(feature.get('index'))
    const ink = crewInk(index, this.dark)
    const paper = this.dark ? '#14191c' : '#fffdf7'
    const styles = [
      new Style({ stroke: new Stroke({ color: paper, width: 7 * markGrowth }), zIndex: 1 }),
      new Style({ stroke: new Stroke({ color: ink, width: 4 * markGrowth }), zIndex: 2 }),
    ]
    // Crews also differ without colour: every second one has a light core.
    if (index % 2 === 1) {
      styles.push(new Style({ stroke: new Stroke({ color: paper, width: 1.2 * markGrowth }), zIndex: 3 }))
    }
    const geometry = (feature as Feature).getGeometry()
    const lines = geometry?.getType() === 'MultiLineString'
      ? (geometry as unknown as { getLineStrings: () => LineString[] }).getLineStrings()
      : geometry instanceof LineString ? [geometry] : []
    const gap = 110 * markGrowth * resolution
    let gone = gap * 0.5
    for (const line of lines) {
      line.forEachSegment((start, end) => {
        const dx = end[0]! - start[0]!
        const dy = end[1]! - start[1]!
        const length = Math.hypot(dx, dy)
        while (gone < length && styles.length < 400) {
          const share = gone / length
          styles.push(new Style({
            geometry: new Point([start[0]! + share * dx, start[1]! + share * dy]),
            image: new Icon({
              img: this.arrow(index), scale: markGrowth / pixelRatio, rotation: -Math.atan2(dy, dx), rotateWithView: true,
            }),
            zIndex: 4,
          }))
          gone += gap
        }
        gone -= length
      })
    }
    return styles
  }
  private readonly arrows = new Map<string, HTMLCanvasElement>()
  private arrow(index: number): HTMLCanvasElement {
    const key = `${index} ${this.dark}`
    let image = this.arrows.get(key)
    if (!image) this.arrows.set(key, (image = arrowImage(index, this.dark)))
    return image
  }

  setDensity(collection: unknown, share: (properties: Record<string, unknown>) => number | null): void {
    this.density.clear(true)
    if (!collection) return
    const read = new GeoJSON().readFeatures(collection, { featureProjection: 'EPSG:3857' }) as Feature[]
    for (const feature of read) feature.set('share', share(feature.getProperties()), true)
    this.density.addFeatures(read.filter((feature) => feature.get('share') !== null))
  }
  private densityStyle(feature: FeatureLike): Style {
    return new Style({
      fill: new Fill({ color: densityInk(Number(feature.get('share'))) }),
      stroke: new Stroke({ color: this.dark ? '#14191c' : '#fdfbf5', width: 0.7 }),
    })
  }

  fit(extent: [number, number, number, number]): void {
    this.shown = extent
    this.map.updateSize()
    this.map.getView().fit(transformExtent(extent, 'EPSG:4326', 'EPSG:3857'), {
      padding: [36, 36, 44, 36], maxZoom: 15,
    })
    this.tellScale()
  }
  fitCalls(calls: (WaitingCall | MapNest)[]): void {
    const spots = calls.filter((call) => call.lon !== null && call.lat !== null)
    if (!spots.length) return
    const lons = spots.map((call) => call.lon!)
    const lats = spots.map((call) => call.lat!)
    this.fit([Math.min(...lons), Math.min(...lats), Math.max(...lons), Math.max(...lats)])
  }
  zoom(by: number): void {
    this.touched = true
    const view = this.map.getView()
    view.setZoom((view.getZoom() ?? 10) + by)
  }
  centre(): [number, number] {
    const [lon, lat] = toLonLat(this.map.getView().getCenter() ?? [0, 0])
    return [lon!, lat!]
  }
  setCentre(lon: number, lat: number, zoom?: number): void {
    this.touched = true
    this.map.getView().setCenter(fromLonLat([lon, lat]))
    if (zoom) this.map.getView().setZoom(zoom)
  }
  resized(): void {
    this.map.updateSize()
    // Until the user takes the map in hand it keeps in view what was put there.
    if (this.shown && !this.touched) this.fit(this.shown)
  }
  /** Where a place is on the page, for tests and for a label beside it. */
  pixelOf(lon: number, lat: number): [number, number] | null {
    const pixel = this.map.getPixelFromCoordinate(fromLonLat([lon, lat]))
    return pixel ? [pixel[0]!, pixel[1]!] : null
  }
}
