// What every room of the page shares.
import { signal, computed, effect } from '@preact/signals'
import { later, today } from './dates'
import type { DeskState } from './types'

function kept(key: string, otherwise: string): string {
  try {
    return localStorage.getItem(key) ?? otherwise
  } catch {
    return otherwise
  }
}
function keep(key: string, value: string): void {
  try {
    localStorage.setItem(key, value)
  } catch {
    // A browser that keeps nothing still works; it asks again next time.
  }
}

export type RoomName = 'morning' | 'season' | 'brood' | 'freezer' | 'intake' | 'visit'
export type Theme = 'system' | 'light' | 'dark'
export type Measures = 'metric' | 'us_customary'

export const desk = signal<DeskState | null>(null)
export const room = signal<RoomName>('morning')
export const detail = signal<string>('') // the part of the address after the room
export const day = signal<string>('')
export const chosen = signal<string>('') // the call that is looked at
export const person = signal<string>(typeof localStorage === 'undefined' ? '' : kept('person', ''))
export const theme = signal<Theme>(
  (typeof localStorage === 'undefined' ? 'system' : kept('theme', 'system')) as Theme,
)
export const measuresWish = signal<Measures | ''>(
  (typeof localStorage === 'undefined' ? '' : kept('measures', '')) as Measures | '',
)
export const measures = computed<Measures>(
  () => measuresWish.value || desk.value?.measures || 'metric',
)
const opened = new Date()
/** What the program calls today. */
export const todayOfDesk = (): string => (desk.value ? today(desk.value.on, opened) : later(opened.toISOString().slice(0, 10), 0))
export const speciesName = (code: string): string =>
  desk.value?.species.find((one) => one.code === code)?.name ?? code
export const online = signal(true)
export const waitingToSend = signal(0)
export const revision = signal(0)
export const mapInFront = signal(false) // on a narrow screen: the map instead of the sheet
export const dark = signal(false)

export interface Notice {
  id: number
  words: string
  kind: 'told' | 'failed'
}
export const notices = signal<Notice[]>([])
let nextNotice = 1
export function tell(words: string, kind: Notice['kind'] = 'told'): void {
  const id = nextNotice++
  notices.value = [...notices.value.slice(-2), { id, words, kind }]
  setTimeout(() => dismiss(id), kind === 'failed' ? 12_000 : 5_000)
}
export function dismiss(id: number): void {
  notices.value = notices.value.filter((notice) => notice.id !== id)
}
export function tellFailure(failure: unknown): void {
  if (failure instanceof DOMException && failure.name === 'AbortError') return
  tell(failure instanceof Error ? failure.message : String(failure), 'failed')
}

export function rememberChoices(): void {
  effect(() => keep('person', person.value))
  effect(() => keep('measures', measuresWish.value))
  const system = matchMedia('(prefers-color-scheme: dark)')
  const follow = (): void => {
    dark.value = theme.value === 'dark' || (theme.value === 'system' && system.matches)
    document.documentElement.dataset['theme'] = dark.value ? 'dark' : 'light'
  }
  system.addEventListener('change', follow)
  effect(() => {
    keep('theme', theme.value)
    follow()
  })
}
