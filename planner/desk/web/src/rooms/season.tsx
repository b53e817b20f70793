// The season: who is taken when, what is held and why, what it will give; and where nests gather.
import { useEffect, useRef } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { call as ask, get, query } from '../core/api'
import { callFrom, list, maybe, number, object, range, text, texts, type Json } from '../core/adapt'
import { chosen, day, desk, tellFailure } from '../core/store'
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
  grams: number
  crew: string
}
interface SeasonDay {
  on: string
  taken: Taken[]
  grams: number
}

function daysOf(result: Json): SeasonDay[] {
  return list(result['days'] ?? result['calendar']).map((entry) => {
    const one = object(entry)
    const crews = list(one['crews']).map(object)
    const groups = crews.length ? crews.flatMap((crew) => list(crew['calls'] ?? crew['taken'] ?? crew['stops']).map((taken) => ({ crew: text(crew['name'] ?? crew['crew']), taken })))
      : list(one['taken'] ?? one['calls'] ?? one['nests']).map((taken) => ({ crew: text(object(taken)['crew']), taken }))
    return {
      on: text(one['on'] ?? one['day'] ?? one['date']),
      grams: maybe(one['grams']) ?? range(one['grams']).p50 ?? 0,
      taken: groups.map(({ crew, taken }) => {
        const body = object(taken)
        const call = callFrom(body['call'] && typeof body['call'] === 'object' ? body['call'] : body)
        return {
          call: call.call, label: call.label, species: call.speciesName, stage: call.stage, crew,
          grams: maybe(body['grams']) ?? maybe(body['grams_p50']) ?? call.grams.p50,
        }
      }),
    }
  }).filter((one) => one.on)
}

function DensityPart() {
  const species = useSignal('')
  const seasons = useSignal<string[]>([])
  const at = useSignal(0)
  const on = useSignal(false)
  const what = useSignal<Json | null>(null)
  const season = seasons.value[at.value] ?? ''
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
        const known = texts(body['seasons'])
        if (known.length && !seasons.value.length) {
          seasons.value = known
          at.value = known.length - 1
        }
        const features = list(body['features'])
        const figure = (properties: Json): number => number(properties['density'] ?? properties['density_per_km2'] ?? properties['count'])
        const top = Math.max(1e-9, ...features.map((feature) => figure(object(object(feature)['properties']))))
        mapDensity.value = features.length ? {
          collection: body, top: `${top.toLocaleString(undefined, { maximumSignificantDigits: 2 })} ${text(body['unit']) || 'a km²'}`,
          share: (properties) => (figure(properties) > 0 ? Math.min(0.999, figure(properties) / top) : null),
          words: `calls ${season}${species.value ? `, ${desk.value?.species.find((one) => one.code === species.value)?.name ?? species.value}` : ''}`,
        } : null
      }).catch(tellFailure)
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
          {seasons.value.length > 1 && (
            <label class="slider">season <b>{season}</b>
              <input type="range" min={0} max={seasons.value.length - 1} step={1} value={at.value} aria-valuetext={season} onInput={(event) => (at.value = Number(event.currentTarget.value))} />
            </label>
          )}
          {texts(what.value?.['notes']).map((note) => <p class="hint" key={note}>{note}</p>)}
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
      <Curve points={points.value} label="workers in a colony" unit={(value) => Math.round(value).toLocaleString()} now={day.value} />
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
        result.value = object(await follow<unknown>(work.current, () => get(`/api/work/${encodeURIComponent(work.current)}`, stop.signal), (progress) => (working.value = progress), stop.signal))
      }
    } catch (failure) {
      tellFailure(failure)
    } finally {
      if (stopper.current === stop) working.value = null
    }
  }
  const cancel = (): void => {
    stopper.current?.abort()
    if (work.current) void ask(`/api/work/${work.current}`, { method: 'DELETE' }).catch(() => {})
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
  const held = list(result.value?.['held']).map((entry) => {
    const one = object(entry)
    return { call: callFrom(one['call'] && typeof one['call'] === 'object' ? one['call'] : one), why: text(one['why'] ?? one['reason'] ?? one['words']) || texts(one['why']).join('; ') }
  })
  const orders = list(result.value?.['orders']).map(object)
  const total = range(result.value?.['grams'])
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
          {total.p50 > 0 && <p class="big">{massRange(total)} expected</p>}
          {orders.map((order, index) => {
            const want = number(order['wanted_g'] ?? order['wanted'])
            const got = maybe(order['expected_g'] ?? order['grams']) ?? range(order['grams']).p50
            return <div class="room-left" key={index}><span><i>{text(order['species_name'] ?? order['species'] ?? order['taxon'])}</i>: {mass(got)} of {mass(want)} ordered</span><Bar share={want ? got / want : 0} label={`${mass(got)} of ${mass(want)}`} /></div>
          })}
          <section class="calendar" aria-label="who is taken when" data-testid="calendar">
            {days.map((one) => (
              <div key={one.on} class={`cal-day${one.taken.length ? '' : ' off'}`}>
                <h3>{weekday(one.on).slice(0, 3)} <b>{plainDay(one.on)}</b>{one.grams > 0 && <small>{mass(one.grams)}</small>}</h3>
                <ul>{one.taken.map((taken) => (
                  <li key={taken.call}><button type="button" aria-label={`${taken.label}, ${taken.species}, about ${mass(taken.grams)}${taken.crew ? `, ${taken.crew}` : ''}`} title={`${taken.label}, about ${mass(taken.grams)}`}
                    onClick={() => (chosen.value = taken.call)}><NestMark speciesName={taken.species} stage={taken.stage} size={20} /></button></li>
                ))}</ul>
              </div>
            ))}
          </section>
          {held.length > 0 && <details class="held" open={held.length < 8}><summary>Held for later <b>{held.length}</b></summary>
            <ul>{held.map((one) => <li key={one.call.call}><NestMark speciesName={one.call.speciesName} stage={one.call.stage} size={20} /> <button type="button" class="link" onClick={() => (chosen.value = one.call.call)}>{one.call.label}</button> <span>{one.why}</span></li>)}</ul></details>}
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
