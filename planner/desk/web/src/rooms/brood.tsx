// Comb that stands: what is due to come out, what came, and the rounds.
import { useEffect } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { get, query } from '../core/api'
import { list, maybe, number, object, range, text, texts, type Json } from '../core/adapt'
import { day, revision, tell, tellFailure } from '../core/store'
import { plainDay, shortDay, longDay } from '../core/dates'
import { massRange } from '../core/measure'
import { newId, send } from '../core/queue'
import { Curve, pointsOf, type CurvePoint } from '../parts/curves'
import { Empty, Field, Bar } from '../parts/forms'
import { NestMark } from '../parts/marks'
import { DayPicker } from '../parts/day_picker'
import type { Range } from '../core/types'

interface Comb {
  id: string
  words: string
  speciesName: string
  species: string
  habitat: string
  due: Range
  points: CurvePoint[]
  actual: { on: string; value: number }[]
  notes: string[]
  standing: number | null
}

function combFrom(value: unknown, habitat = ''): Comb {
  const comb = object(value)
  const curve = comb['days'] ?? comb['emergence'] ?? comb['expected'] ?? comb['curve']
  return {
    id: text(comb['comb'] ?? comb['comb_id'] ?? comb['id'] ?? comb['key']),
    words: text(comb['words'] ?? comb['label'] ?? comb['site_name']) || `comb ${text(comb['key'] ?? comb['id']).slice(-6)}`,
    species: text(comb['species'] ?? comb['taxon']),
    speciesName: text(comb['species_name'] ?? comb['taxon_name'] ?? comb['species']),
    habitat: text(comb['habitat']) || habitat,
    due: range(comb['due'] ?? comb['ready'] ?? comb['out_now']),
    points: pointsOf(curve, 'wasps'),
    actual: list(comb['collected'] ?? comb['actual']).flatMap((entry) => {
      const one = object(entry)
      const count = maybe(one['count'] ?? one['wasps'])
      return count === null ? [] : [{ on: text(one['on'] ?? one['at']).slice(0, 10), value: count }]
    }),
    notes: texts(comb['notes']),
    standing: maybe(comb['wasps'] ?? comb['cells'] ?? comb['sealed']),
  }
}

/** Two taps: one on the comb, one on the number. */
function Collect(props: { comb: Comb; onDone: () => void }) {
  const own = useSignal('')
  const { p10, p50, p90 } = props.comb.due
  const presets = [...new Set([p10, (p10 + p50) / 2, p50, (p50 + p90) / 2, p90].map((value) => Math.max(0, Math.round(value))))]
  const keep = async (count: number): Promise<void> => {
    const id = newId()
    const result = await send({
      id, path: '/api/collections', at: new Date().toISOString(), words: `${count} from ${props.comb.words}`,
      body: { collection_id: id, comb: props.comb.id, species: props.comb.species, at: new Date().toISOString(), count },
    })
    if (result === 'refused') return
    tell(result === 'sent' ? `${count} collected from ${props.comb.words}` : 'kept here; sent later')
    revision.value++
    props.onDone()
  }
  return (
    <div class="collect" data-testid="collect">
      <p>How many were collected?</p>
      <div class="pad">{presets.map((count) => <button type="button" key={count} onClick={() => void keep(count)}>{count}</button>)}</div>
      <form onSubmit={(event) => {
        event.preventDefault()
        const count = Number(own.value)
        if (own.value.trim() && Number.isInteger(count) && count >= 0) void keep(count)
        else tell('a whole number of wasps, please', 'failed')
      }}>
        <Field label="another number" inputMode="numeric" value={own.value} onInput={(value) => (own.value = value)} testid="collect-count" />
        <button type="submit" class="main">Keep</button>
      </form>
    </div>
  )
}

export function Brood() {
  const answer = useSignal<Json | null>(null)
  const open = useSignal('')
  useEffect(() => {
    const stop = new AbortController()
    get<unknown>('/api/brood' + query({ on: day.value }), stop.signal)
      .then((value) => (answer.value = object(value))).catch((failure) => { answer.value ??= {}; tellFailure(failure) })
    return () => stop.abort()
  }, [day.value, revision.value])
  const body = answer.value
  const habitats = list(body?.['habitats']).map(object)
  const all = [
    ...list(body?.['combs']).map((one) => combFrom(one)),
    ...habitats.flatMap((habitat) => list(habitat['combs']).filter((one) => typeof one === 'object').map((one) => combFrom(one, text(habitat['name'])))),
  ]
  const rounds = list(body?.['rounds']).map(object)
  const room = object(body?.['room'])
  const groups = new Map<string, Comb[]>()
  for (const comb of all) groups.set(comb.habitat || 'comb', [...(groups.get(comb.habitat || 'comb') ?? []), comb])
  return (
    <>
      <header class="sheet-head"><h1>Brood<small>{longDay(day.value)}</small></h1><DayPicker /></header>
      {maybe(room['combs'] ?? room['nests']) !== null && (
        <div class="room-left"><span>Room at home: {number(room['taken'])} of {number(room['combs'] ?? room['nests'])}</span>
          <Bar share={number(room['taken']) / Math.max(1, number(room['combs'] ?? room['nests']))} label="room for comb in use" /></div>
      )}
      {rounds.length > 0 && (
        <section class="rounds"><h2>Rounds</h2>
          <ol>
            {rounds.slice(0, 10).map((round, index) => {
              const on = text(round['on'] ?? round['day'] ?? round['at']).slice(0, 10)
              const grams = range(round['grams'])
              const wasps = range(round['wasps'])
              return (
                <li key={index} class={on === day.value ? 'due' : ''}>
                  <b>{on ? shortDay(on) : ''}</b>
                  <span>{text(round['words']) || [text(round['habitat']), wasps.p50 ? `about ${Math.round(wasps.p50)} wasps` : '', grams.p50 ? massRange(grams) : ''].filter(Boolean).join('; ')}</span>
                  {on === day.value && <em>due today</em>}
                </li>
              )
            })}
          </ol>
        </section>
      )}
      {!body && <p class="loading" role="status">reading the comb</p>}
      {body && !all.length && <Empty>No comb stands on {shortDay(day.value)}.</Empty>}
      {[...groups].map(([name, combs]) => (
        <section key={name} class="habitat" aria-label={name}>
          <h2>{name}</h2>
          <ul class="combs">
            {combs.map((comb) => (
              <li key={comb.id} class="comb-row" data-comb={comb.id}>
                <div class="comb-line">
                  <NestMark speciesName={comb.speciesName} stage="build-up" size={26} />
                  <div><h3>{comb.words}</h3>
                    <p><i>{comb.speciesName}</i>{comb.due.p90 > 0 && `; due now about ${Math.round(comb.due.p50)} (${Math.round(comb.due.p10)} to ${Math.round(comb.due.p90)})`}</p></div>
                  <button type="button" class={open.value === comb.id ? '' : 'main'} aria-expanded={open.value === comb.id}
                    onClick={() => (open.value = open.value === comb.id ? '' : comb.id)}>Collect</button>
                </div>
                {open.value === comb.id && <Collect comb={comb} onDone={() => (open.value = '')} />}
                {comb.points.length > 1 && <Curve points={comb.points} actual={comb.actual} now={day.value} label={`emergence of ${comb.words}`} unit={(value) => String(Math.round(value))} height={100} />}
                {comb.actual.length > 0 && <p class="hint">Collected: {comb.actual.slice(-4).map((one) => `${one.value} on ${plainDay(one.on)}`).join(', ')}</p>}
              </li>
            ))}
          </ul>
        </section>
      ))}
    </>
  )
}
