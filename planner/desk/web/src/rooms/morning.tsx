import { useSignal } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import { chosen, day, measures, desk } from '../core/store'
import { distance, height, mass, span } from '../core/measure'
import { clock, longDay, secondsOf, shortDay, weekday } from '../core/dates'
import type { WaitingCall } from '../core/types'
import {
  cancel, changes, dayCautions, forgetWishes, leftOut, loading, pin, plan, plannedIn, seats, seatsAgain, solve,
  waiting, wish, wishes, working,
} from '../core/morning'
import { Dialog, Empty, Field, Working } from '../parts/forms'
import { NestMark, StopMark } from '../parts/marks'
import { DayPicker } from '../parts/day_picker'
import { theMap } from '../map/map_state'

function PinDialog(props: { call: WaitingCall; onClose: () => void }) {
  const seat = seats.value.get(props.call.call)
  const toInput = (seconds: number): string =>
    `${String(Math.floor(seconds / 3600)).padStart(2, '0')}:${String(Math.floor((seconds % 3600) / 60)).padStart(2, '0')}`
  const hour = useSignal(wishes.value.pins[props.call.call] ?? (seat ? toInput(seat.stop.begin_s) : '09:00'))
  const save = (event: Event): void => {
    event.preventDefault()
    if (secondsOf(hour.value) === null) return
    pin(props.call.call, hour.value)
    props.onClose()
  }
  // An order is kept by the hour: in front of another stop means by that stop's hour.
  const others = (seat?.crew ?? plan.value?.crews[0])?.stops.filter((stop) => stop.call.call !== props.call.call) ?? []
  return (
    <Dialog title={`Pin ${props.call.label}`} onClose={props.onClose}>
      <form onSubmit={save}>
        <Field label="Work begins at" type="time" value={hour.value} onInput={(value) => (hour.value = value)} autofocus testid="pin-hour" />
        {others.length > 0 && (
          <div class="field">
            <span class="label">or take the place of</span>
            <div class="chips">
              {others.map((stop) => (
                <button type="button" key={stop.call.call} onClick={() => (hour.value = toInput(stop.begin_s))}>
                  {clock(stop.begin_s)} {stop.call.label}
                </button>
              ))}
            </div>
          </div>
        )}
        <footer>
          {wishes.value.pins[props.call.call] && (
            <button type="button" onClick={() => { pin(props.call.call, ''); props.onClose() }}>Take the pin out</button>
          )}
          <button type="submit" class="main">Pin and plan again</button>
        </footer>
      </form>
    </Dialog>
  )
}

function Row(props: { call: WaitingCall; rank: number; top: number; onPin: () => void }) {
  const { call } = props
  const seat = seats.value.get(call.call)
  const again = seatsAgain.value.get(call.call)
  const reason = leftOut.value.get(call.call)
  const must = wishes.value.must.includes(call.call)
  const never = wishes.value.never.includes(call.call)
  const pinned = wishes.value.pins[call.call]
  const self = useRef<HTMLLIElement>(null)
  const here = chosen.value === call.call
  const keys = (event: KeyboardEvent): void => {
    if (event.target !== self.current || event.ctrlKey || event.metaKey || event.altKey) return
    const step = event.key === 'ArrowDown' || event.key === 'j' ? 1 : event.key === 'ArrowUp' || event.key === 'k' ? -1 : 0
    if (step) {
      const next = step > 0 ? self.current?.nextElementSibling : self.current?.previousElementSibling
      if (next instanceof HTMLElement) next.focus()
    } else if (event.key === 'i') wish(call.call, must ? '' : 'must')
    else if (event.key === 'o') wish(call.call, never ? '' : 'never')
    else if (event.key === 'p') props.onPin()
    else if (event.key === 'Enter' || event.key === ' ') chosen.value = here ? '' : call.call
    else return
    event.preventDefault()
  }
  return (
    <li ref={self} tabIndex={0} class={`call-row${here ? ' here' : ''}${never ? ' never' : ''}`} data-call={call.call}
      data-state={seat ? 'in' : 'out'} onKeyDown={keys}
      onClick={(event) => {
        if ((event.target as HTMLElement).closest('button')) return
        chosen.value = call.call
        theMap.value?.show(call.call)
      }}>
      <div class="call-mark">
        {seat ? <StopMark index={seat.crew.index} words={`${seat.crew.letter}${seat.stop.number}`} speciesName={call.speciesName} size={34} />
              : <NestMark speciesName={call.speciesName} stage={call.stage} size={30} />}
        <span class="rank" title="rank of the day">{props.rank}</span>
      </div>
      <div class="call-body">
        <h2>{call.label}{call.allergic && <span class="flag">allergic</span>}{call.must && <span class="flag plain">promised</span>}</h2>
        <p class="when">
          {seat ? <><b>{seat.crew.name}, {clock(seat.stop.begin_s)}</b>{again && <span>again {again.crew.name}, {clock(again.stop.begin_s)}</span>}{!again && reason && <span>Without its {reason}</span>}</> : reason ? <span>Left out: {reason}</span> : <span>not planned yet</span>}
          {pinned && <span class="pinned">pinned {clock(secondsOf(pinned) ?? 0)}</span>}
        </p>
        <ul class="why">{call.why.map((why) => <li key={why}>{why}</li>)}</ul>
        <p class="facts">
          <i>{call.speciesName || 'species not known'}</i>{call.stage && `, ${call.stage}`}
          {call.height !== null && `, ${height(call.height, measures.value)}`}
        </p>
      </div>
      <div class="call-acts">
        <span class="score" title="points of the ranking"><i style={{ height: `${Math.max(6, (100 * call.score) / props.top)}%` }} /><b>{Math.round(call.score)}</b></span>
        <div class="acts" role="group" aria-label={`decide on ${call.label}`}>
          <button type="button" aria-pressed={must} onClick={() => wish(call.call, must ? '' : 'must')}>In</button>
          <button type="button" aria-pressed={never} onClick={() => wish(call.call, never ? '' : 'never')}>Out</button>
          <button type="button" aria-pressed={!!pinned} onClick={props.onPin}>Pin</button>
        </div>
      </div>
    </li>
  )
}

function Changed() {
  const all = changes.value
  if (!all.length) return null
  const words = { in: 'In', out: 'Out', moved: 'Moved' }
  return (
    <section class="changed" aria-label="what changed" data-testid="changed">
      <h2>What changed</h2>
      <ul tabIndex={0} aria-label="changes">
        {all.map((change) => (
          <li key={change.call} class={change.kind}>
            <b>{words[change.kind]}</b> <span><button type="button" class="link" onClick={() => (chosen.value = change.call)}>{change.label}</button>, {change.words}</span>
          </li>
        ))}
      </ul>
      <button type="button" class="quiet" onClick={() => (changes.value = [])}>Seen</button>
    </section>
  )
}

export function Morning() {
  const pinning = useSignal<WaitingCall | null>(null)
  const show = useSignal<'all' | 'in' | 'out'>('all')
  useEffect(() => {
    if (!chosen.value) return
    document.querySelector(`.call-row[data-call="${CSS.escape(chosen.value)}"]`)?.scrollIntoView({ block: 'nearest' })
  }, [chosen.value])
  const all = waiting.value
  const top = Math.max(1, ...all.map((call) => call.score))
  const planned = seats.value
  const ranked = all.map((call, index) => ({ call, rank: index + 1 }))
  const rows = ranked.filter(({ call }) => show.value === 'all' || (show.value === 'in') === planned.has(call.call))
  const now = plan.value
  const cautions = now?.cautions.length ? now.cautions : dayCautions.value
  const wished = wishes.value.must.length + wishes.value.never.length + Object.keys(wishes.value.pins).length
  return (
    <>
      <header class="sheet-head">
        <h1>{weekday(day.value)}<small>{longDay(day.value)}</small></h1>
        <DayPicker />
      </header>
      {desk.value?.region && <p class="region">{desk.value.region}</p>}
      {now && (
        <div class="crew-lines">
          {now.crews.map((crew) => (
            <p key={crew.id}>
              <span class={`crew-letter crew-${crew.index % 4}`}>{crew.letter}</span>
              <b>{crew.name}</b>
              {crew.stops.length ? (
                <span>{clock(crew.depart_s)} to {clock(crew.home_s)}; {crew.stops.length} nests, {distance(crew.road_total_m, measures.value)} in {span(crew.drive_total_s)}, about {mass(crew.grams.p50)}</span>
              ) : <span>stays at home</span>}
            </p>
          ))}
        </div>
      )}
      {working.value && <Working share={working.value.share} words={working.value.words} onCancel={cancel} />}
      <Changed />
      {cautions.length > 0 && (
        <details class="mind">
          <summary>Mind today <b>{cautions.length}</b></summary>
          <ul>{cautions.map((caution) => <li key={caution}>{caution}</li>)}</ul>
        </details>
      )}
      <div class="list-head">
        <div class="segments" role="group" aria-label="which calls">
          {([['all', `All ${all.length}`], ['in', `In ${planned.size}`], ['out', `Out ${all.length - planned.size}`]] as const).map(([value, words]) => (
            <button type="button" key={value} aria-pressed={show.value === value} onClick={() => (show.value = value)}>{words}</button>
          ))}
        </div>
        <span class="spring" />
        {wished > 0 && <button type="button" class="quiet" onClick={forgetWishes}>Forget {wished} {wished === 1 ? 'wish' : 'wishes'}</button>}
        <button type="button" class="main" onClick={() => void solve(4)} disabled={!!working.value} title="look longer for a better plan">Plan again</button>
      </div>
      {!all.length && (loading.value ? <p class="loading" role="status">reading the book</p> : <Empty>No call waits on {shortDay(day.value)}.</Empty>)}
      <ol class="calls" aria-label="waiting calls, best first" data-testid="calls">
        {rows.map(({ call, rank }) => (
          <Row key={call.call} call={call} rank={rank} top={top} onPin={() => (pinning.value = call)} />
        ))}
      </ol>
      {now && (
        <p class="small-print">
          {now.within !== null && `No plan can be more than ${Math.ceil(now.within)} % better by the bound that was proved. `}
          {plannedIn.value !== null && `Solved in ${(plannedIn.value / 1000).toFixed(1)} s. `}{now.heldTo}
        </p>
      )}
      {pinning.value && <PinDialog call={pinning.value} onClose={() => (pinning.value = null)} />}
    </>
  )
}
