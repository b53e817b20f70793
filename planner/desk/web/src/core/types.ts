// What the program answers; planner/desk/openapi.json is the source.
export interface Range {
  p10: number
  p50: number
  p90: number
}
export interface Place {
  lon: number
  lat: number
}
export interface Crew {
  id: string
  name: string
  people?: number
}
export interface Species {
  code: string
  name: string
  common: string
}
export interface DeskState {
  book: string
  revision: number
  on: string
  version: string
  measures: 'metric' | 'us_customary'
  currency?: string
  region?: string
  place: Place | null
  extent: [number, number, number, number] | null
  attribution: string
  has_roads: boolean
  has_places: boolean
  crews: Crew[]
  species: Species[]
  people: string[]
}

/** A call as the morning ranks it. */
export interface WaitingCall {
  call: string
  key: string
  label: string
  species: string
  speciesName: string
  stage: string
  score: number
  lon: number | null
  lat: number | null
  why: string[]
  grams: Range
  workers: Range
  height: number | null
  kind: string
  allergic: boolean
  must: boolean
  hours: string[]
  /** A second visit is asked for, or due. */
  comesAgain: boolean
  notAfter: string
  received: string
  notes: string[]
  cautions: string[]
  client?: string
  phone?: string
}

export interface Stop {
  call: WaitingCall
  number: number
  /** The second visit to a nest, for the wasps that were away at the first. */
  second: boolean
  drive_s: number
  road_m: number
  arrive_s: number
  begin_s: number
  leave_s: number
  way: string
  gear: string[]
  cautions: string[]
}
export interface Limit {
  words: string
  used: number
  room: number
}
export interface CrewDay {
  id: string
  name: string
  letter: string
  index: number
  people: number
  depot: Place
  depart_s: number
  home_s: number
  drive_home_s: number
  drive_total_s: number
  road_total_m: number
  grams: Range
  stops: Stop[]
  pause: { begin_s: number; length_s: number; after: number } | null
  load: string[]
  limits: Limit[]
  otherLimits: string[]
}
export interface Change {
  kind: 'in' | 'out' | 'moved'
  label: string
  call: string
  words: string
}
export interface DayPlan {
  on: string
  crews: CrewDay[]
  leftOut: { call: WaitingCall; reason: string }[]
  cautions: string[]
  heldTo: string
  within: number | null
  sun: { first_s: number; last_s: number } | null
  tours: unknown
}
