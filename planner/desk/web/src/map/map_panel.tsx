import { useEffect, useRef } from 'preact/hooks'
import { effect, useSignal } from '@preact/signals'
import { chosen, dark, desk, mapInFront, measures, room } from '../core/store'
import { inks, outlines, type Outline } from '../core/shapes'
import { CombIcon } from '../parts/marks'
import { densityInks } from './density_inks'
import { mapDensity, mapNests, mapPlan, metresAPixel, spot, theMap } from './map_state'
import { NestCard } from '../parts/nest_card'
import { go } from '../core/address'
import type { DeskMap as DeskMapType } from './desk_map'

/** A round length that is about a hundred pixels long. */
export function scaleOf(metresPerPixel: number, unit: number, names: [string, number][]): { words: string; pixels: number } {
  const most = (metresPerPixel * 130) / unit
  for (const [name, size] of names) {
    const inUnit = most / size
    if (inUnit < 1) continue
    const power = 10 ** Math.floor(Math.log10(inUnit))
    const step = [5, 2, 1].find((one) => one * power <= inUnit)! * power
    return { words: `${step.toLocaleString()} ${name}`, pixels: (step * size * unit) / metresPerPixel }
  }
  return { words: '', pixels: 0 }
}

function Scale() {
  const size = metresAPixel.value
  if (!size) return null
  const metric = scaleOf(size, 1, [['km', 1000], ['m', 1]])
  const us = scaleOf(size, 1, [['mi', 1609.344], ['ft', 0.3048]])
  const [first, second] = measures.value === 'metric' ? [metric, us] : [us, metric]
  return (
    <div class="scale" role="img" aria-label={`scale: ${first.words}`}>
      <span class="bar over" style={{ width: `${first.pixels}px` }}>{first.words}</span>
      <span class="bar under" style={{ width: `${second.pixels}px` }}>{second.words}</span>
    </div>
  )
}

const shapeNames: [Outline, string][] = [
  ['disc', 'Vespula'], ['drop', 'Dolichovespula'], ['square', 'Vespa'], ['cell', 'Polistes'],
  ['diamond', 'not known'],
]
const stages: [string, string][] = [
  ['a queen alone', 'queen alone'], ['first workers', 'first workers'], ['build-up', 'growing'],
  ['raising queens and males', 'queens, males'], ['decline', 'declining'],
]

function Legend() {
  const open = useSignal(false)
  return (
    <div class={open.value ? 'legend open' : 'legend'}>
      <button type="button" class="quiet" aria-expanded={open.value} onClick={() => (open.value = !open.value)}>
        Marks
      </button>
      {open.value && (
        <div class="legend-body">
          <p>Shape: the wasp</p>
          <ul>
            {shapeNames.map(([outline, name]) => (
              <li key={outline}>
                <svg viewBox="-1 -1 26 26" width="20" height="20" aria-hidden="true">
                  <path d={outlines[outline]} fill="none" stroke={inks[outline][dark.value ? 1 : 0]} stroke-width="2.2" />
                </svg>
                {name === 'not known' ? name : <i>{name}</i>}
              </li>
            ))}
          </ul>
          <p>Cell: the colony’s year</p>
          <ul>
            {stages.map(([stage, name]) => (
              <li key={stage}><CombIcon stage={stage} /> {name}</li>
            ))}
          </ul>
        </div>
      )}
    </div>
  )
}

export function MapPanel() {
  const holder = useRef<HTMLDivElement>(null)
  useEffect(() => {
    let gone = false
    const stops: (() => void)[] = []
    const start = (DeskMap: typeof import('./desk_map').DeskMap): DeskMapType => {
      const state = desk.peek()
      const map = new DeskMap(holder.current!, state?.extent ?? null, state?.has_roads ?? false, {
        nest: (call) => {
          chosen.value = call
          spot.value = null
        },
        spot: (lon, lat) => (spot.value = { lon, lat }),
        moved: (size) => (metresAPixel.value = size),
        ready: () => (document.documentElement.dataset['map'] = 'ready'),
      })
      theMap.value = map
      stops.push(
        effect(() => map.setDark(dark.value)),
        effect(() => map.setNests(mapNests.value)),
        effect(() => map.setPlan(mapPlan.value)),
        effect(() => map.setChosen(chosen.value)),
        effect(() => map.setDensity(mapDensity.value?.collection ?? null, mapDensity.value?.share ?? (() => null))),
      )
      return map
    }
    void import('./desk_map').then(({ DeskMap }) => {
      if (gone || !holder.current) return
      // A room without a map leaves it no size; it is made when there is one.
      let map: DeskMapType | null = null
      const watcher = new ResizeObserver(() => {
        if (!holder.current?.clientWidth) return
        if (map) map.resized()
        else map = start(DeskMap)
      })
      watcher.observe(holder.current)
      stops.push(() => watcher.disconnect())
    })
    return () => {
      gone = true
      for (const stop of stops) stop()
    }
  }, [])
  const fitAll = (): void => {
    const nests = mapNests.value.filter((nest) => nest.crew)
    theMap.value?.fitCalls(nests.length ? nests : mapNests.value)
  }
  const here = spot.value
  return (
    <section class={mapInFront.value ? 'map front' : 'map'} aria-label="map">
      <div class="map-canvas" ref={holder} tabIndex={0} role="application"
        aria-label="map of nests and tours: arrow keys move it, plus and minus zoom" data-testid="map" />
      <div class="map-tools">
        <button type="button" aria-label="zoom in" onClick={() => theMap.value?.zoom(1)}>+</button>
        <button type="button" aria-label="zoom out" onClick={() => theMap.value?.zoom(-1)}>−</button>
        <button type="button" aria-label="show the whole day" onClick={fitAll}>
          <svg viewBox="0 0 20 20" width="16" height="16" aria-hidden="true">
            <path d="M3 7V3h4M13 3h4v4M17 13v4h-4M7 17H3v-4" fill="none" stroke="currentColor" stroke-width="2" />
          </svg>
        </button>
      </div>
      <div class="north" role="img" aria-label="north is up">
        <svg viewBox="0 0 20 26" width="22" height="28" aria-hidden="true">
          <path d="M10 1 17 18 10 14 3 18z" fill="currentColor" /><text x="10" y="25.500" text-anchor="middle">N</text>
        </svg>
      </div>
      <Legend />
      {mapDensity.value && (
        <div class="density-key" role="img" aria-label={mapDensity.value.words}>
          <span>{mapDensity.value.words}</span>
          <span class="ramp">{densityInks.map((ink) => <i key={ink} style={{ background: ink }} />)}</span>
          <span class="ends"><b>0</b><b>{mapDensity.value.top}</b></span>
        </div>
      )}
      <div class="map-foot">
        <Scale />
        <p class="attribution">
          {desk.value?.has_roads ? `Roads: ${desk.value.attribution || 'from the road file'}.` : 'No road file: nests only.'}
        </p>
      </div>
      {here && (
        <div class="spot-card" role="dialog" aria-label="this spot">
          <p>{here.lat.toFixed(5)}, {here.lon.toFixed(5)}</p>
          <button type="button" class="main" autofocus onClick={() => {
            go('intake', `at=${here.lon.toFixed(6)},${here.lat.toFixed(6)}`)
            spot.value = null
            mapInFront.value = false
          }}>Enter a call here</button>
          <button type="button" class="quiet" onClick={() => (spot.value = null)}>Close</button>
        </div>
      )}
      {chosen.value && room.value !== 'visit' && !here && <NestCard call={chosen.value} />}
    </section>
  )
}
