// The day as time strips, one a crew: drive, wait, work and pause, the hours a client gave, the
// light, and loads against their limits.
import { plan } from '../core/morning'
import { chosen, dark } from '../core/store'
import { piecesOf, type StripPiece } from '../core/adapt'
import { clock, hoursOf } from '../core/dates'
import { crewInk } from '../core/shapes'
import type { CrewDay, DayPlan } from '../core/types'
import { Bar } from '../parts/forms'
import { theMap } from '../map/map_state'

function ends(plan: DayPlan): [number, number] {
  const busy = plan.crews.filter((crew) => crew.stops.length)
  const first = Math.min(7 * 3600, ...busy.map((crew) => crew.depart_s))
  const last = Math.max(16 * 3600, ...busy.map((crew) => crew.home_s))
  return [Math.floor((first - 900) / 3600) * 3600, Math.ceil((last + 900) / 3600) * 3600]
}

function words(piece: StripPiece): string {
  const hours = `${clock(piece.from)} to ${clock(piece.to)}`
  if (piece.kind === 'work') return `${hours}: ${piece.stop!.call.label}`
  if (piece.kind === 'break') return `${hours}: pause`
  if (piece.kind === 'wait') return `${hours}: wait for ${piece.stop!.call.label}`
  return piece.stop ? `${hours}: drive to ${piece.stop.call.label}` : `${hours}: drive home`
}

function Strip(props: { crew: CrewDay; from: number; to: number; sun: DayPlan['sun'] }) {
  const { crew, from, to, sun } = props
  const at = (seconds: number): string =>
    `${Math.min(100, Math.max(0, ((seconds - from) / (to - from)) * 100))}%`
  const wide = (first: number, last: number): { left: string; width: string } => {
    const a = Math.max(first, from)
    const b = Math.min(last, to)
    return { left: at(a), width: `${(Math.max(0, b - a) / (to - from)) * 100}%` }
  }
  const ink = crewInk(crew.index, dark.value)
  // Of each client's hours those in which the visit lies.
  const windows = crew.stops.flatMap((stop) => stop.call.hours.flatMap((words) => {
    const hours = hoursOf(words)
    return hours && hours[0] <= stop.begin_s && stop.begin_s <= hours[1] ? [{ stop, hours }] : []
  }))
  return (
    <div class="strip-row" role="group" aria-label={`day of ${crew.name}`}>
      <div class="strip-name">
        <span class={`crew-letter crew-${crew.index % 4}`}>{crew.letter}</span>
        <span><b>{crew.name}</b><small>{crew.people === 1 ? '1 person' : `${crew.people} people`}</small></span>
      </div>
      <ul class="strip">
        {sun && sun.first_s > from && <li class="night" aria-hidden="true" style={wide(from, sun.first_s)} />}
        {sun && sun.last_s < to && <li class="night" aria-hidden="true" style={wide(sun.last_s, to)} />}
        {windows.map(({ stop, hours }, index) => {
          return (
            <li key={`${stop.call.call} ${hours[0]}`} class={`window level-${index % 3}`} style={{ ...wide(hours[0], hours[1]), 'border-color': ink }}
              title={`${crew.letter}${stop.number}: ${clock(hours[0])} to ${clock(hours[1])}`}>
              <span class="unseen">{stop.call.label} allows {clock(hours[0])} to {clock(hours[1])}</span>
            </li>
          )
        })}
        {piecesOf(crew).map((piece) => (
          <li key={`${piece.kind} ${piece.from}`} class={`piece ${piece.kind}${piece.stop && chosen.value === piece.stop.call.call ? ' here' : ''}`}
            style={{ ...wide(piece.from, piece.to), ...(piece.kind === 'work' ? { background: ink } : piece.kind === 'drive' ? { color: ink } : {}) }}>
            {piece.kind === 'work' ? (
              <button type="button" title={words(piece)} aria-label={`${crew.letter}${piece.stop!.number} ${piece.stop!.call.label}, ${clock(piece.from)} to ${clock(piece.to)}`} onClick={() => {
                chosen.value = piece.stop!.call.call
                theMap.value?.show(piece.stop!.call.call)
              }}><b>{crew.letter}{piece.stop!.number}</b> <span>{piece.stop!.call.label}</span></button>
            ) : <span class="unseen">{words(piece)}</span>}
          </li>
        ))}
      </ul>
      <div class="loads">
        {crew.limits.map((limit) => (
          <div key={limit.words} class="load" title={`${limit.words}: ${limit.used} of ${limit.room}`}>
            <small>{limit.words} {limit.used}/{limit.room}</small>
            <Bar share={limit.used / limit.room} over={limit.used >= limit.room} label={`${limit.words}: ${limit.used} of ${limit.room}`} />
          </div>
        ))}
        {!crew.limits.length && <small>no load limit set</small>}
      </div>
    </div>
  )
}

export function Strips() {
  const now = plan.value
  if (!now) return null
  const [from, to] = ends(now)
  const hours: number[] = []
  for (let hour = from; hour <= to; hour += 3600) hours.push(hour)
  return (
    <section class="strips" aria-label="the day as time strips" data-testid="strips">
      <p class="strip-key" aria-hidden="true">
        <span><i class="k-drive" />drive</span><span><i class="k-work" />work</span><span><i class="k-break" />pause</span>
        <span><i class="k-window" />hours the client gave</span>{now.sun && <span><i class="k-night" />too dark for a ladder</span>}
      </p>
      <div class="hours" aria-hidden="true">
        <span />
        <div>{hours.map((hour, index) => (
          <i key={hour} class={index % 2 ? 'odd' : ''} style={{ left: `${((hour - from) / (to - from)) * 100}%` }}>{clock(hour).replace(/[:.]00/, '')}</i>
        ))}</div>
        <span />
      </div>
      {now.crews.map((crew) => <Strip key={crew.id} crew={crew} from={from} to={to} sun={now.sun} />)}
    </section>
  )
}
