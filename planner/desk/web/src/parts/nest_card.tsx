// What is known of the nest that was chosen, over the map.
import { useEffect } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { get, query } from '../core/api'
import { list, object, text, type Json } from '../core/adapt'
import { chosen, day, measures, revision, room, tellFailure } from '../core/store'
import { countRange, height, massRange, distance, span } from '../core/measure'
import { clock, instant, plainDay, shortDay } from '../core/dates'
import { leftOut, seats, seatsAgain, waiting } from '../core/morning'
import { go } from '../core/address'
import { NestMark } from './marks'
import { CallEditor } from './call_editor'
import { HoldCurve } from './curves'

export function NestCard(props: { call: string }) {
  const facts = useSignal<Json | null>(null)
  const past = useSignal<Json[]>([])
  const editing = useSignal(false)
  const holding = useSignal(false)
  const call = waiting.value.find((one) => one.call === props.call)
  useEffect(() => {
    facts.value = null
    holding.value = false
    const stop = new AbortController()
    get<unknown>(`/api/calls/${encodeURIComponent(props.call)}` + query({ on: day.value }), stop.signal)
      .then((answer) => (facts.value = object(answer)))
      .catch(tellFailure)
    past.value = []
    get<unknown>(`/api/nests/${encodeURIComponent(props.call)}` + query({ on: day.value }), stop.signal)
      .then((answer) => (past.value = list(object(answer)['history']).map(object)))
      .catch(() => {})
    return () => stop.abort()
  }, [props.call, day.value, revision.value])
  const record = facts.value ?? {}
  const label = call?.label ?? (text(record['site_name'] ?? record['label']) || 'nest')
  const seat = seats.value.get(props.call)
  const again = seatsAgain.value.get(props.call)
  const reason = leftOut.value.get(props.call)
  const photos = list(record['photos']).map((one) => text(object(one)['id'] ?? one)).filter(Boolean)
  const history = past.value
  return (
    <aside class="nest-card" aria-label={`nest: ${label}`} data-testid="nest-card">
      <header>
        <NestMark speciesName={call?.speciesName ?? text(record['species'])} stage={call?.stage ?? text(record['stage'])} size={34} />
        <div>
          <h2>{label}</h2>
          <p><i>{call?.speciesName || text(record['species']) || 'species not known'}</i></p>
        </div>
        <button type="button" class="quiet close" aria-label="close the nest" onClick={() => (chosen.value = '')}>✕</button>
      </header>
      <dl>
        {seat && <><dt>when</dt><dd><b>{seat.crew.name}, {clock(seat.stop.begin_s)} to {clock(seat.stop.leave_s)}</b>, {span(seat.stop.drive_s)} and {distance(seat.stop.road_m, measures.value)} to it</dd></>}
        {again && <><dt>again</dt><dd><b>{again.crew.name}, {clock(again.stop.begin_s)} to {clock(again.stop.leave_s)}</b>, for the wasps that were away</dd></>}
        {!seat && reason && <><dt>left out</dt><dd>{reason}</dd></>}
        {seat?.stop.way && <><dt>way</dt><dd>{seat.stop.way}</dd></>}
        {call && call.height !== null && <><dt>nest</dt><dd>{call.kind && `${call.kind}, `}{height(call.height, measures.value)}</dd></>}
        {(call?.stage || record['stage']) && <><dt>colony</dt><dd>{call?.stage || text(record['stage'])}{call && call.workers.p50 > 0 && `, workers ${countRange(call.workers)}`}</dd></>}
        {(call?.grams.p50 ?? 0) > 0 && <><dt>gives</dt><dd>{massRange(call!.grams)}</dd></>}
        {call?.received && <><dt>called</dt><dd>{shortDay(call.received)}{call.notAfter && `; last day ${plainDay(call.notAfter)}`}</dd></>}
        {call && call.hours.length > 0 && <><dt>hours</dt><dd>{call.hours.join(', ')}</dd></>}
      </dl>
      {call && call.why.length > 0 && <ul class="why">{call.why.map((why) => <li key={why}>{why}</li>)}</ul>}
      {(call?.cautions.length ?? 0) > 0 && <ul class="cautions">{call!.cautions.map((one) => <li key={one}>{one}</li>)}</ul>}
      {photos.length > 0 && <div class="photos">{photos.map((id) => <img key={id} src={`/api/photos/${encodeURIComponent(id)}`} alt={`photo of ${label}`} loading="lazy" />)}</div>}
      {history.length > 0 && (
        <details><summary>History</summary><ul>{history.map((one, index) => (
          <li key={index}><b>{text(one['at']).endsWith('T00:00:00Z') ? plainDay(text(one['at'])) : instant(text(one['at']))}</b> {text(one['words'])}</li>
        ))}</ul></details>
      )}
      {call && call.notes.length > 0 && <details><summary>Where the figures come from</summary><ul>{call.notes.map((note) => <li key={note}>{note}</li>)}</ul></details>}
      {holding.value && <HoldCurve call={props.call} />}
      <footer>
        <button type="button" onClick={() => (editing.value = true)} disabled={!facts.value}>Edit</button>
        <button type="button" aria-pressed={holding.value} onClick={() => (holding.value = !holding.value)}>Hold or take</button>
        {room.value === 'morning' && <button type="button" onClick={() => go('visit', props.call)}>Visit</button>}
      </footer>
      {editing.value && <CallEditor call={props.call} onClose={() => (editing.value = false)} />}
    </aside>
  )
}
