// The day's calls, what the dispatcher wishes, and the plan; shared by Morning, Visit and the map.
import { computed, effect, signal } from '@preact/signals'
import { call, get, post, query, Refused } from './api'
import { callFrom, compare, list, object, planFrom, texts } from './adapt'
import { follow, type Progress } from './events'
import { day, desk, revision, room, tellFailure } from './store'
import { mapNests, mapPlan } from '../map/map_state'
import type { MapNest } from '../map/desk_map'
import type { Change, DayPlan, Stop, WaitingCall, CrewDay } from './types'

export interface Wishes {
  must: string[]
  never: string[]
  pins: Record<string, string> // call -> "HH:MM"
}
const none: Wishes = { must: [], never: [], pins: {} }

export const waiting = signal<WaitingCall[]>([])
export const dayCautions = signal<string[]>([])
export const wishes = signal<Wishes>(none)
export const plan = signal<DayPlan | null>(null)
export const changes = signal<Change[]>([])
export const working = signal<Progress | null>(null)
export const loading = signal(true)
export const plannedIn = signal<number | null>(null)

export interface Seat {
  crew: CrewDay
  stop: Stop
}
const seatsOf = (second: boolean): Map<string, Seat> =>
  new Map((plan.value?.crews ?? []).flatMap((crew) =>
    crew.stops.filter((stop) => stop.second === second)
      .map((stop): [string, Seat] => [stop.call.call, { crew, stop }])))
/** Second visits that go with a first one of the day. */
export const seatsAgain = computed(() => {
  const first = seatsOf(false)
  return new Map([...seatsOf(true)].filter(([call]) => first.has(call)))
})
/** Where a call stands in the plan: its first visit, or the second where only that is left. */
export const seats = computed(() => new Map([...seatsOf(true), ...seatsOf(false)]))
export const leftOut = computed<Map<string, string>>(
  () => new Map((plan.value?.leftOut ?? []).map((entry) => [entry.call.call, entry.reason])),
)

const wishKey = (on: string): string => `wishes ${on}`
function readWishes(on: string): Wishes {
  try {
    const kept = JSON.parse(localStorage.getItem(wishKey(on)) ?? 'null') as Partial<Wishes> | null
    return kept ? { must: kept.must ?? [], never: kept.never ?? [], pins: kept.pins ?? {} } : none
  } catch {
    return none
  }
}

let stopWork: AbortController | null = null
let workRunning = ''

/** Solves the day again; a plan that is being solved is given up first. */
export async function solve(seconds = 0.6): Promise<void> {
  const on = day.value
  stopWork?.abort()
  if (workRunning) void call(`/api/works/${workRunning}`, { method: 'DELETE' }).catch(() => {})
  const stopper = (stopWork = new AbortController())
  working.value = { work: '', share: 0, words: 'asking for a plan' }
  const started = performance.now()
  const before = plan.value?.on === on ? plan.value : null
  const wish = wishes.value
  try {
    const { work } = await post<{ work: string | number }>('/api/morning/plan', {
      on,
      must: wish.must,
      never: wish.never,
      pins: Object.entries(wish.pins).map(([pinned, at]) => ({ call: pinned, at })),
      seconds,
    })
    workRunning = String(work)
    const result = await follow<unknown>(
      workRunning,
      () => get(`/api/works/${encodeURIComponent(String(work))}`, stopper.signal),
      (progress) => (working.value = progress),
      stopper.signal,
    )
    if (stopper.signal.aborted || day.value !== on) return
    const after = planFrom(result)
    changes.value = compare(before, after)
    plan.value = after
    plannedIn.value = performance.now() - started
    document.documentElement.dataset['planned'] = String(Number(document.documentElement.dataset['planned'] ?? 0) + 1)
  } catch (failure) {
    if (failure instanceof Refused && failure.field.startsWith('pins')) {
      tellFailure(new Error(`the pin does not fit: ${failure.message}`))
    } else tellFailure(failure)
  } finally {
    if (stopWork === stopper) {
      working.value = null
      workRunning = ''
    }
  }
}
export function cancel(): void {
  stopWork?.abort()
  if (workRunning) void call(`/api/works/${workRunning}`, { method: 'DELETE' }).catch(() => {})
  working.value = null
}

export function wish(callId: string, decision: 'must' | 'never' | ''): void {
  const { must, never, pins } = wishes.value
  const without = (ids: string[]): string[] => ids.filter((id) => id !== callId)
  const rest = { ...pins }
  if (decision === 'never') delete rest[callId]
  wishes.value = {
    must: decision === 'must' ? [...without(must), callId] : without(must),
    never: decision === 'never' ? [...without(never), callId] : without(never),
    pins: rest,
  }
  void solve()
}
export function pin(callId: string, at: string): void {
  const pins = { ...wishes.value.pins }
  if (at) pins[callId] = at
  else delete pins[callId]
  wishes.value = { ...wishes.value, pins, never: wishes.value.never.filter((id) => id !== callId) }
  void solve()
}
export function forgetWishes(): void {
  wishes.value = none
  void solve()
}

let shownPlan = ''
let asked: AbortController | null = null
export async function loadMorning(): Promise<void> {
  const on = day.value
  asked?.abort()
  asked = new AbortController()
  try {
    const answer = object(await get('/api/morning' + query({ on }), asked.signal))
    if (day.value !== on) return
    waiting.value = list(answer['waiting']).map(callFrom).sort((a, b) => b.score - a.score)
    dayCautions.value = texts(answer['cautions'])
    // The plan that stands may be another person's.
    const stands = answer['plan'] ? JSON.stringify(answer['plan']) : ''
    if (stands && stands !== shownPlan && !working.value) {
      const after = planFrom(answer['plan'])
      const news = compare(plan.value, after)
      if (news.length) changes.value = news
      plan.value = after
      shownPlan = stands
    }
  } catch (failure) {
    tellFailure(failure)
  } finally {
    loading.value = false
  }
}

/** Called once; keeps the day's data in step with the day chosen and with the book. */
export function keepMorning(): void {
  let shown = ''
  effect(() => {
    const on = day.value
    revision.value
    if (!on || !desk.value) return
    if (on !== shown) {
      shown = on
      loading.value = true
      waiting.value = []
      plan.value = null
      changes.value = []
      wishes.value = readWishes(on)
      void loadMorning().then(() => {
        if (!plan.value && waiting.value.length && day.value === on) void solve()
      })
    } else void loadMorning()
  })
  effect(() => {
    if (!day.value) return
    try {
      localStorage.setItem(wishKey(day.value), JSON.stringify(wishes.value))
    } catch {
      // kept in memory only
    }
  })
  effect(() => {
    if (room.value === 'season' || room.value === 'brood') return
    const planned = seats.value
    mapNests.value = waiting.value.flatMap((one): MapNest[] => {
      if (one.lon === null || one.lat === null) return []
      const seat = planned.get(one.call)
      return [{
        call: one.call, label: one.label, speciesName: one.speciesName, stage: one.stage,
        lon: one.lon, lat: one.lat,
        ...(seat ? { crew: { index: seat.crew.index, words: `${seat.crew.letter}${seat.stop.number}` } }
                 : plan.value ? { faint: true } : {}),
      }]
    })
    mapPlan.value = plan.value
  })
}
