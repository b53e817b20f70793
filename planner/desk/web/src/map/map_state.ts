// What the rooms ask the map to show; the map itself is loaded after the page is on the screen.
import { signal } from '@preact/signals'
import type { DayPlan } from '../core/types'
import type { DeskMap, MapNest } from './desk_map'

export const mapNests = signal<MapNest[]>([])
export const mapPlan = signal<DayPlan | null>(null)
export interface DensityShown {
  collection: unknown
  share: (properties: Record<string, unknown>) => number | null
  words: string
  top: string
}
export const mapDensity = signal<DensityShown | null>(null)
export const theMap = signal<DeskMap | null>(null)
export const metresAPixel = signal(0)
/** A spot that was pressed or right-clicked. */
export const spot = signal<{ lon: number; lat: number } | null>(null)
