// The season: who is taken when, what is held and why, what it will give; and where nests gather.
import { useEffect, useRef } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { call as ask, get, query, Refused } from '../core/api'
import { list, maybe, number, object, text, texts, type Json } from '../core/adapt'
import { chosen, day, desk, speciesName, tellFailure } from '../core/store'
import type { Range } from '../core/types'
import { follow, type Progress } from '../core/events'
import { isDay, later, longDay, plainDay, shortDay, weekday } from '../core/dates'
import { mass, massRange } from '../core/measure'
import { Bar, Choice, Empty, Working } from '../parts/forms'
import { NestMark } from '../parts/marks'
import { Curve, HoldCurve, pointsOf, type CurvePoint } from '../parts/curves'
import { mapDensity, mapNests, mapPlan } from '../map/map_state'
import { waiting } from '../core/morning'

interface Taken {
  call: string
  label: string
  species: string
  stage: string
  crew: string
  begin: string
}
interface SeasonDay {
  on: string
  taken: Taken[]
  /** Visits to calls that are not made yet. */
  expected: number
}

export function daysOf(result: Json): SeasonDay[] {
  const days = new Map<string, SeasonDay>()
  const from = text(result['from'])
  const to = text(result['to'])
  for (let on = from; isDay(on) && on <= to && days.size < 130; on = later(on, 1)) days.set(on, { on, taken: [], expected: 0 })
  const known = new Map(waiting.value.map((call) => [call.call, call]))
  for (const entry of list(result['tours'])) {
    const tour = object(entry)
    const day = days.get(text(tour['day']))
    if (!day) continue
    for (const one of list(tour['visits'])) {
      const visit = object(one)
      const id = text(visit['call_id'])
      const call = known.get(id)
      if (!id) day.expected++
      else day.taken.push({ call: id, label: text(visit['label']) || (call?.label ?? id), species: call?.speciesName ?? '', stage: call?.stage ?? '', crew: text(tour['crew']), begin: text(visit['begin']) })
    }
  }
  return [...days.values()]
}

function DensityPart() {
  const species = useSignal('')
  const year = Number((desk.value?.on ?? '2000').slice(0, 4))
  const seasons = [`${year - 4}..${year}`, ...[4, 3, 2, 1, 0].map((back) => String(year - back))]
  const at = useSignal(0)
  const on = useSignal(false)
  const what = useSignal<Json | null>(null)
  const refused = useSignal('')
  const season = seasons[at.value] ?? ''
  useEffect(() => {
    if (!on.value) {
      mapDensity.value = null
      return
    }
    const stop = new AbortController()
    const timer = setTimeout(() => {
      get<unknown>('/api/density.geojson' + query({ species: species.value, season }), stop.signal).then((answer) => {
        const body = object(answer)
        what.value = body
        refused.value = ''
        const features = list(body['features'])
        const figure = (properties: Json): number => number(properties['density'])
        const top = Math.max(1e-9, ...features.map((feature) => figure(object(object(feature)['properties']))))
        mapDensity.value = features.length ? {
          collection: body, top: `${top.toLocaleString(undefined, { maximumSignificantDigits: 2 })} nests a km²`,
          share: (properties) => (figure(properties) > 0 ? Math.min(0.999, figure(properties) / top) : null),
          words: `nests a season, ${season.replace('..', ' to ')}${species.value ? `, ${speciesName(species.value)}` : ''}`,
        } : null
      }).catch((failure) => {
        mapDensity.value = null
        what.value = null
        if (failure instanceof Refused) refused.value = failure.message
        else tellFailure(failure)
      })
    }, 120)
    return () => {
      clearTimeout(timer)
      stop.abort()
    }
  }, [on.value, species.value, season])
  useEffect(() => () => { mapDensity.value = null }, [])
  return (
    <section class="density-part">
      <h2>Where nests gather</h2>
      <label class="tick"><input type="checkbox" checked={on.value} data-testid="density" onChange={(event) => (on.value = event.currentTarget.checked)} /><span>show on the map</span></label>
      {on.value && (
        <>
          <Choice label="Wasp" value={species.value} onChange={(value) => (species.value = value)} options={[['', 'all'], ...(desk.value?.species ?? []).map((one): [string, string] => [one.code, one.name])]} />
          {(
            <label class="slider"><span>season <b>{season.replace('..', ' to ')}</b></span>
              <input type="range" min={0} max={seasons.length - 1} step={1} value={at.value} aria-valuetext={season} onInput={(event) => (at.value = Number(event.currentTarget.value))} />
            </label>
          )}
          {refused.value && <p class="hint" role="status">{refused.value}</p>}
          {text(what.value?.['caution']) && <p class="hint">{text(what.value?.['caution'])}</p>}
        </>
      )}
    </section>
  )
}

function GrowthPart() {
  const species = useSignal(desk.value?.species[0]?.code ?? '')
  const points = useSignal<CurvePoint[]>([])
  useEffect(() => {
    if (!species.value) return
    const stop = new AbortController()
    get<unknown>(`/api/curve/${encodeURIComponent(species.value)}` + query({ lat: desk.value?.place?.lat, on: day.value }), stop.signal)
      .then((answer) => {
        const body = object(answer)
        points.value = pointsOf(body['days'] ?? body['curve'] ?? body['points'], 'workers')
      }).catch(tellFailure)
    return () => stop.abort()
  }, [species.value, day.value.slice(0, 4)])
  if (!desk.value?.species.length) return null
  return (
    <section class="growth"><h2>How a colony grows here</h2>
      <Choice label="Wasp" value={species.value} onChange={(value) => (species.value = value)} options={desk.value.species.map((one): [string, string] => [one.code, one.common ? `${one.name} (${one.common})` : one.name])} />
      {!points.value.length ? <p class="loading" role="status">reading the forecast</p> : <Curve points={points.value} label="workers in a colony" unit={(value) => Math.round(value).toLocaleString()} now={day.value} />}
      <p class="hint">Workers of one colony at this latitude; the band holds four of five.</p>
    </section>
  )
}

export function Season() {
  const to = useSignal(later(day.value, 13))
  const result = useSignal<Json | null>(null)
  const working = useSignal<Progress | null>(null)
  const stopper = useRef<AbortController | null>(null)
  const work = useRef('')
  const plan = async (): Promise<void> => {
    stopper.current?.abort()
    const stop = (stopper.current = new AbortController())
    working.value = { work: '', share: 0, words: 'asking for a season' }
    try {
      const answer = await get<{ work?: string | number }>('/api/season' + query({ from: day.value, to: to.value }), stop.signal)
      if (answer.work === undefined) result.value = object(answer)
      else {
        work.current = String(answer.work)
        result.value = object(await follow<unknown>(work.current, () => get(`/api/works/${encodeURIComponent(work.current)}`, stop.signal), (progress) => (working.value = progress), stop.signal))
      }
    } catch (failure) {
      tellFailure(failure)
    } finally {
      if (stopper.current === stop) working.value = null
    }
  }
  const cancel = (): void => {
    stopper.current?.abort()
    if (work.current) void ask(`/api/works/${work.current}`, { method: 'DELETE' }).catch(() => {})
    working.value = null
  }
  useEffect(() => {
    if (to.value < day.value) to.value = later(day.value, 13)
    return () => stopper.current?.abort()
  }, [day.value])
  useEffect(() => {
    mapPlan.value = null
    mapNests.value = waiting.value.flatMap((one) => (one.lon === null || one.lat === null ? [] : [{
      call: one.call, label: one.label, speciesName: one.speciesName, stage: one.stage, lon: one.lon, lat: one.lat,
    }]))
  }, [waiting.value])
  const days = result.value ? daysOf(result.value) : []
  const calls = list(result.value?.['calls']).map(object)
  const known = new Map(waiting.value.map((call) => [call.call, call]))
  const held = calls.filter((one) => !one['day'])
  const spread = (one: Json, name: string): Range => ({ p10: number(one[`${name}_p10`]), p50: number(one[`${name}_p50`]), p90: number(one[`${name}_p90`]) })
  const grams = list(result.value?.['grams']).map(object)
  return (
    <>
      <header class="sheet-head"><h1>Season<small>{longDay(day.value)} to {plainDay(to.value)}</small></h1></header>
      <form class="season-form" onSubmit={(event) => { event.preventDefault(); void plan() }}>
        <label>from <input type="date" value={day.value} onChange={(event) => { if (isDay(event.currentTarget.value)) day.value = event.currentTarget.value }} /></label>
        <label>to <input type="date" value={to.value} min={day.value} onChange={(event) => { if (isDay(event.currentTarget.value)) to.value = event.currentTarget.value }} /></label>
        <button type="submit" class="main" disabled={!!working.value}>Plan the season</button>
      </form>
      {working.value && <Working share={working.value.share} words={working.value.words} onCancel={cancel} />}
      {result.value && (
        <>
          <ul class="season-grams">
            {grams.map((one) => {
              const waits = spread(one, 'waiting')
              const comes = spread(one, 'expected')
              const wanted = maybe(one['wanted'])
              const sum = waits.p50 + comes.p50
              return (
                <li key={text(one['taxon'])}><i>{one['taxon'] ? speciesName(text(one['taxon'])) : 'species not known'}</i>
                  <span>{massRange(waits)} from calls that wait{comes.p50 >= 1 && `, ${massRange(comes)} from calls to come`}{wanted !== null && `; ${mass(wanted)} ordered`}</span>
                  {wanted !== null && wanted > 0 && <Bar share={sum / wanted} label={`${mass(sum)} of ${mass(wanted)}`} />}</li>
              )
            })}
          </ul>
          <section class="calendar" aria-label="who is taken when" data-testid="calendar">
            {days.map((one) => (
              <div key={one.on} class={`cal-day${one.taken.length || one.expected ? '' : ' off'}`} style={one.on === days[0]?.on ? { 'grid-column-start': String(((new Date(`${one.on}T00:00:00Z`).getUTCDay() + 6) % 7) + 1) } : undefined}>
                <h2>{weekday(one.on).slice(0, 3)} <b>{plainDay(one.on)}</b></h2>
                <ul>{one.taken.map((taken) => (
                  <li key={taken.call}><button type="button" aria-label={`${taken.label}, ${taken.species || 'species not known'}, ${taken.crew}, ${taken.begin}`} title={`${taken.label}, ${taken.crew}, ${taken.begin}`}
                    onClick={() => (chosen.value = taken.call)}><NestMark speciesName={taken.species} stage={taken.stage} size={20} /></button></li>
                ))}</ul>
                {one.expected > 0 && <small class="expected" title="visits to calls that are not made yet">+ {one.expected} to come</small>}
              </div>
            ))}
          </section>
          {held.length > 0 && <details class="held" open={held.length < 8}><summary>Held for later <b>{held.length}</b></summary>
            <ul>{held.map((one) => {
              const id = text(one['call_id'])
              const call = known.get(id)
              return <li key={id}><NestMark speciesName={call?.speciesName ?? ''} stage={call?.stage ?? ''} size={20} /> <button type="button" class="link" onClick={() => (chosen.value = id)}>{text(one['label'])}</button> <span>{text(one['words'])}</span></li>
            })}</ul></details>}
          {texts(result.value['notes']).length > 0 && <details class="mind"><summary>What this rests on</summary><ul>{texts(result.value['notes']).map((note) => <li key={note}>{note}</li>)}</ul></details>}
        </>
      )}
      {!result.value && !working.value && <Empty>Plan the season to see which nest is taken on which day, and which is better left to grow, from {shortDay(day.value)}.</Empty>}
      {chosen.value && <section class="growth"><h2>Hold or take</h2><HoldCurve call={chosen.value} /></section>}
      <GrowthPart />
      <DensityPart />
    </>
  )
}
