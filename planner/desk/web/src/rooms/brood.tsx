// Comb that stands: what is due to come out, what came, and the rounds.
import { useEffect } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { get, query } from '../core/api'
import { list, maybe, number, object, range, text, texts, type Json } from '../core/adapt'
import { day, revision, speciesName, tell, tellFailure } from '../core/store'
import { later, longDay, nowOn, plainDay, shortDay } from '../core/dates'
import { massRange } from '../core/measure'
import { isInHand, newId, send } from '../core/queue'
import { Curve, pointsOf, type CurvePoint } from '../parts/curves'
import { Empty, Field, Bar } from '../parts/forms'
import { NestMark } from '../parts/marks'
import { DayPicker } from '../parts/day_picker'
import type { Range } from '../core/types'

interface Comb {
  key: string
  label: string
  species: string
  left: Range
  far: boolean
  collected: { on: string; count: number }[]
  notes: string[]
}
interface Habitat {
  name: string
  place: string
  lastDay: string
  /** Wasps that have emerged since the last round, by the forecast. */
  waiting: number
  left: Range
  grams: Range
  points: CurvePoint[]
  combs: Comb[]
}

export function habitatFrom(value: unknown): Habitat {
  const one = object(value)
  return {
    name: text(one['name']),
    place: text(one['place']),
    lastDay: text(one['last_day']),
    waiting: number(one['waiting']),
    left: range(one['workers_left']),
    grams: range(one['grams_left']),
    points: pointsOf(one['days'], 'workers'),
    combs: list(one['combs']).map((entry) => {
      const comb = object(entry)
      const from = text(comb['stands_from'])
      return {
        key: text(comb['comb_key']),
        label: text(comb['label']) || `comb ${text(comb['comb_key'])}`,
        species: speciesName(text(comb['taxon'])),
        left: range(comb['workers_left']),
        far: comb['far_from_count'] === true,
        collected: list(comb['collections']).flatMap((item) => {
          const taken = object(item)
          const count = maybe(taken['workers'])
          return count === null || !from ? [] : [{ on: later(from, Math.round(number(taken['days_after']))), count }]
        }),
        notes: texts(comb['notes']),
      }
    }),
  }
}
/** What one may have in hand, round numbers about the forecast. */
export function presetsFor(waiting: number): number[] {
  const step = waiting >= 60 ? 10 : waiting >= 20 ? 5 : 1
  const about = [0.5, 0.75, 1, 1.25, 1.5].map((share) => Math.round((waiting * share) / step) * step)
  return [...new Set([0, ...about])].slice(0, 6)
}

/** Two taps: one on the comb, one on the number. */
function Collect(props: { comb: Comb; waiting: number; onDone: () => void }) {
  const own = useSignal('')
  const presets = presetsFor(props.waiting)
  const keep = async (count: number): Promise<void> => {
    const at = nowOn(day.value)
    const id = newId() // goes along, so that what is sent twice is entered once
    const result = await send({
      id, path: '/api/collections', at, words: `${count} wasps from ${props.comb.label}`,
      body: { collection_id: id, comb: props.comb.key, at, workers: count },
    })
    if (!isInHand(result)) return
    tell(result === 'sent' ? `${count} collected from ${props.comb.label}` : 'kept here; sent later')
    revision.value++
    props.onDone()
  }
  return (
    <div class="collect" data-testid="collect">
      <p>How many were collected? About {Math.round(props.waiting)} are expected to have emerged in this habitat.</p>
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
  const habitats = list(body?.['habitats']).map(habitatFrom)
  const tasks = list(body?.['tasks']).map(object)
  const room = object(body?.['room'])
  const places = maybe(room['combs'])
  const all = habitats.flatMap((habitat) => habitat.combs)
  return (
    <>
      <header class="sheet-head"><h1>Brood<small>{longDay(day.value)}</small></h1><DayPicker /></header>
      {places !== null && (
        <div class="room-left"><span>Room at home: {number(room['combs_standing'])} of {places} combs</span>
          <Bar share={number(room['combs_standing']) / Math.max(1, places)} over={room['full'] === true} label={`room for comb: ${number(room['combs_standing'])} of ${places} taken`} /></div>
      )}
      {tasks.length > 0 && (
        <section class="rounds"><h2>Rounds</h2>
          <ol>
            {tasks.slice(0, 8).map((task, index) => (
              <li key={index} class={text(task['day']) === day.value ? 'due' : ''}>
                <b>{shortDay(text(task['day']))}</b>
                <span><strong>{text(task['title']) || text(task['place'])}</strong> {text(task['words'])}</span>
                {text(task['day']) === day.value && <em>due today</em>}
              </li>
            ))}
          </ol>
        </section>
      )}
      {!body && <p class="loading" role="status">reading the comb</p>}
      {body && !all.length && <Empty>No comb stands on {shortDay(day.value)}.</Empty>}
      <div class="habitats">
        {habitats.map((habitat) => (
          <section key={habitat.name} class="habitat" aria-label={habitat.name}>
            <h2>{habitat.name}{habitat.place && <small> {habitat.place}</small>}</h2>
            <p class="facts">{Math.round(habitat.left.p50).toLocaleString()} workers still to come ({Math.round(habitat.left.p10).toLocaleString()} to {Math.round(habitat.left.p90).toLocaleString()}){habitat.grams.p50 > 0 && `, ${massRange(habitat.grams)}`}{habitat.lastDay && `; the last about ${plainDay(habitat.lastDay)}`}</p>
            <Curve points={habitat.points} now={day.value} label={`workers that emerge a day in ${habitat.name}`} unit={(value) => String(Math.round(value))} height={110}
              actual={habitat.combs.flatMap((comb) => comb.collected.map((one) => ({ on: one.on, value: one.count })))} />
            <ul class="combs">
              {habitat.combs.map((comb) => (
                <li key={comb.key} class="comb-row" data-comb={comb.key}>
                  <div class="comb-line">
                    <NestMark speciesName={comb.species} stage="build-up" size={26} />
                    <div><h3>{comb.label}</h3><p><i>{comb.species}</i>; {Math.round(comb.left.p50).toLocaleString()} to come</p></div>
                    <button type="button" class={open.value === comb.key ? '' : 'main'} aria-expanded={open.value === comb.key} aria-label={`Collect from ${comb.label}`}
                      onClick={() => (open.value = open.value === comb.key ? '' : comb.key)}>Collect</button>
                  </div>
                  {open.value === comb.key && <Collect comb={comb} waiting={habitat.waiting} onDone={() => (open.value = '')} />}
                  {comb.collected.length > 0 && <p class="hint">Collected: {comb.collected.slice(-4).map((one) => `${one.count} on ${plainDay(one.on)}`).join(', ')}</p>}
                  {comb.far && <p class="hint wrong">What was collected is far from what was forecast: count the sealed cells again.</p>}
                  {comb.notes.map((note) => <p class="hint" key={note}>{note}</p>)}
                </li>
              ))}
            </ul>
          </section>
        ))}
      </div>
      {texts(body?.['notes']).length > 0 && <details class="mind"><summary>What this rests on</summary><ul>{texts(body?.['notes']).map((note) => <li key={note}>{note}</li>)}</ul></details>}
    </>
  )
}
