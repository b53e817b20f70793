// From the program's JSON to what the page draws. Everything that comes in is checked here once;
// a field that is missing gives an empty value, never a broken page.
import type {
  Change, CrewDay, DayPlan, Limit, Place, Range, Stop, WaitingCall,
} from './types'
import { crewLetter } from './shapes'
import { clock, secondsOf } from './dates'

export type Json = Record<string, unknown>
export const object = (value: unknown): Json =>
  value && typeof value === 'object' && !Array.isArray(value) ? (value as Json) : {}
export const list = (value: unknown): unknown[] => (Array.isArray(value) ? value : [])
export const text = (value: unknown): string =>
  typeof value === 'string' ? value : typeof value === 'number' ? String(value) : ''
export const texts = (value: unknown): string[] => list(value).map(text).filter(Boolean)
export const number = (value: unknown, otherwise = 0): number =>
  typeof value === 'number' && Number.isFinite(value) ? value : otherwise
export const maybe = (value: unknown): number | null =>
  typeof value === 'number' && Number.isFinite(value) ? value : null

function place(value: unknown): Place | null {
  const { lon, lat, lon_deg, lat_deg } = object(value)
  const x = maybe(lon ?? lon_deg)
  const y = maybe(lat ?? lat_deg)
  return x === null || y === null ? null : { lon: x, lat: y }
}
export function range(value: unknown): Range {
  const { p10, p50, p90 } = object(value)
  return { p10: number(p10), p50: number(p50), p90: number(p90) }
}
function rangeOf(record: Json, name: string): Range {
  if (record[name] && typeof record[name] === 'object') return range(record[name])
  return {
    p10: number(record[`${name}_p10`]),
    p50: number(record[`${name}_p50`]),
    p90: number(record[`${name}_p90`]),
  }
}

export function callFrom(value: unknown): WaitingCall {
  const call = object(value)
  const nest = object(call['nest'])
  const outlook = object(call['outlook'] ?? call['forecast'])
  const at = place(call['place'] ?? call)
  const key = text(call['key'] ?? call['call_key'])
  const why = texts(call['why'] ?? call['reasons'])
  return {
    call: text(call['call'] ?? call['call_id'] ?? call['id']),
    key,
    label: text(call['site_name'] ?? call['label']) || `call ${key}`,
    species: text(call['species'] ?? outlook['taxon']),
    speciesName: text(call['species_name'] ?? outlook['taxon_name'] ?? call['species']),
    stage: text(call['stage'] ?? outlook['stage']),
    score: number(call['score']),
    lon: at?.lon ?? null,
    lat: at?.lat ?? null,
    why,
    grams: call['grams'] ? range(call['grams']) : rangeOf(outlook, 'grams'),
    workers: call['workers'] ? range(call['workers']) : rangeOf(outlook, 'workers'),
    height: maybe(call['height_m'] ?? nest['height_m']),
    kind: text(call['nest_kind'] ?? call['kind'] ?? nest['kind']),
    allergic: call['allergic'] === true,
    must: call['must'] === true || call['must_take'] === true,
    hours: texts(call['allowed'] ?? call['hours']),
    comesAgain: typeof call['second_after_min'] === 'number' || !!call['second_due'],
    notAfter: text(call['not_after']),
    received: text(call['received']),
    notes: texts(outlook['notes'] ?? call['notes']),
    cautions: texts(outlook['cautions'] ?? call['cautions']),
    ...(text(call['client_name'] ?? call['client'])
      ? { client: text(call['client_name'] ?? call['client']) }
      : {}),
    ...(text(call['client_phone'] ?? call['phone'])
      ? { phone: text(call['client_phone'] ?? call['phone']) }
      : {}),
  }
}

function stopFrom(value: unknown): Stop {
  const stop = object(value)
  const access = object(stop['access'])
  return {
    call: callFrom(stop['call']),
    number: number(stop['stop']),
    second: stop['second_visit'] === true,
    drive_s: number(stop['drive_s']),
    road_m: number(stop['road_m']),
    arrive_s: number(stop['arrive_s']),
    begin_s: number(stop['begin_s']),
    leave_s: number(stop['leave_s']),
    way: text(access['words']),
    gear: texts(access['gear']),
    cautions: texts(access['cautions']),
  }
}

/** "comb boxes: room for 9 nests, 6 taken" as a bar. */
export function limitFrom(words: string): Limit | null {
  const match = /^(.*?): room for ([\d.]+)\D.*?([\d.]+) taken/.exec(words)
  if (!match) return null
  return { words: match[1]!, room: Number(match[2]), used: Number(match[3]) }
}

function crewFrom(value: unknown, index: number, strip: Json): CrewDay {
  const crew = object(value)
  const pause = object(crew['pause'])
  const uses = texts(crew['uses'])
  const limits = list(strip['loads']).map((entry): Limit => {
    const load = object(entry)
    return {
      words: text(load['words'] ?? load['name'] ?? load['kind']),
      used: number(load['used'] ?? load['taken']),
      room: number(load['limit'] ?? load['room']),
    }
  }).filter((limit) => limit.words && limit.room > 0)
  const read = uses.map(limitFrom).filter((limit): limit is Limit => limit !== null)
  return {
    id: text(crew['crew_id'] ?? crew['id']),
    name: text(crew['name']),
    letter: crewLetter(index),
    index,
    people: number(crew['people'], 1),
    depot: place(crew['depot']) ?? { lon: 0, lat: 0 },
    depart_s: number(crew['depart_s']),
    home_s: number(crew['home_s']),
    drive_home_s: number(crew['drive_home_s']),
    drive_total_s: number(crew['drive_total_s']),
    road_total_m: number(crew['road_total_m']),
    grams: rangeOf(crew, 'grams'),
    stops: list(crew['stops']).map(stopFrom),
    pause: crew['pause']
      ? {
          begin_s: number(pause['begin_s']),
          length_s: number(pause['length_s']),
          after: number(pause['after_stops']),
        }
      : null,
    load: texts(crew['load']),
    limits: limits.length ? limits : read,
    otherLimits: uses.filter((words) => !limitFrom(words)),
  }
}

function sunFrom(result: Json, heldTo: string): DayPlan['sun'] {
  const strip = object(list(result['strips'])[0])
  const daylight = object(strip['daylight'] ?? result['daylight'])
  const ends = ['from', 'to'].map((name) => {
    const value = daylight[`${name}_s`] ?? daylight[name]
    return typeof value === 'number' ? value : secondsOf(text(value).slice(-8).replace(/^T/, ''))
  })
  if (ends[0] != null && ends[1] != null) return { first_s: ends[0], last_s: ends[1] }
  const match = /ladder work from (\d\d:\d\d) to (\d\d:\d\d)/.exec(heldTo)
  const first = secondsOf(match?.[1] ?? '')
  const last = secondsOf(match?.[2] ?? '')
  return first === null || last === null ? null : { first_s: first, last_s: last }
}

export function planFrom(value: unknown): DayPlan {
  const result = object(value)
  const strips = list(result['strips']).map(object)
  const heldTo = text(result['held_to'])
  return {
    on: text(result['day'] ?? result['on']),
    crews: list(result['crews']).map((crew, index) => {
      const name = text(object(crew)['name'])
      const strip = strips.find((one) => text(one['crew'] ?? one['name']) === name) ?? strips[index]
      return crewFrom(crew, index, strip ?? {})
    }),
    leftOut: list(result['left_out']).map((entry) => ({
      call: callFrom(object(entry)['call']),
      reason: text(object(entry)['reason']),
    })),
    cautions: texts(result['cautions']),
    heldTo,
    within: maybe(result['within_percent_of_best']),
    sun: sunFrom(result, heldTo),
    tours: result['tours'] ?? null,
  }
}

/** What a new plan does otherwise than the one that stood. */
export function compare(before: DayPlan | null, after: DayPlan): Change[] {
  if (!before) return []
  type At = { crew: CrewDay; stop: Stop }
  const where = (plan: DayPlan): Map<string, At> =>
    new Map(plan.crews.flatMap((crew) =>
      crew.stops.map((stop): [string, At] => [`${stop.call.call}${stop.second ? ' again' : ''}`, { crew, stop }])))
  const was = where(before)
  const is = where(after)
  const changes: Change[] = []
  for (const [key, { crew, stop }] of is) {
    const old = was.get(key)
    const call = stop.call.call
    const label = stop.call.label
    const hour = clock(stop.begin_s)
    if (!old) {
      changes.push({ kind: 'in', label, call, words: `${crew.name} at ${hour}` })
    } else if (old.crew.id !== crew.id) {
      changes.push({ kind: 'moved', label, call, words: `from ${old.crew.name} to ${crew.name}, ${hour}` })
    } else if (Math.abs(old.stop.begin_s - stop.begin_s) >= 60) {
      changes.push({ kind: 'moved', label, call, words: `${clock(old.stop.begin_s)} → ${hour}` })
    }
  }
  for (const [key, { crew, stop }] of was) {
    if (!is.has(key)) {
      changes.push({ kind: 'out', label: stop.call.label, call: stop.call.call, words: `was ${crew.name} at ${clock(stop.begin_s)}` })
    }
  }
  const order = { in: 0, out: 1, moved: 2 }
  return changes.sort((a, b) => order[a.kind] - order[b.kind])
}

export interface StripPiece {
  kind: 'drive' | 'wait' | 'work' | 'break'
  from: number
  to: number
  stop?: Stop
}
/** A crew's day as pieces that follow on each other. */
export function piecesOf(crew: CrewDay): StripPiece[] {
  const pieces: StripPiece[] = []
  const add = (kind: StripPiece['kind'], from: number, to: number, stop?: Stop): void => {
    if (to > from) pieces.push(stop ? { kind, from, to, stop } : { kind, from, to })
  }
  let now = crew.depart_s
  const rest = (): void => {
    if (!crew.pause) return
    add('break', crew.pause.begin_s, crew.pause.begin_s + crew.pause.length_s)
    now = Math.max(now, crew.pause.begin_s + crew.pause.length_s)
  }
  crew.stops.forEach((stop, index) => {
    if (crew.pause && crew.pause.after === index) rest()
    add('drive', stop.arrive_s - stop.drive_s, stop.arrive_s, stop)
    add('wait', Math.max(now, stop.arrive_s), stop.begin_s, stop)
    add('work', stop.begin_s, stop.leave_s, stop)
    now = stop.leave_s
  })
  if (crew.pause && crew.pause.after === crew.stops.length) rest()
  if (crew.stops.length) add('drive', crew.home_s - crew.drive_home_s, crew.home_s)
  return pieces
}
