// Days and hours in the form that the user's browser is set to.
const locale = (): string | undefined =>
  typeof navigator === 'undefined' ? undefined : navigator.language

/** A day is a date without a zone: it is read and written as if in UTC. */
function asDate(day: string): Date {
  return new Date(`${day.slice(0, 10)}T00:00:00Z`)
}
const form = (options: Intl.DateTimeFormatOptions, day: string): string =>
  new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', ...options }).format(asDate(day))

export const isDay = (text: string): boolean =>
  /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(asDate(text).getTime())
export const weekday = (day: string): string => form({ weekday: 'long' }, day)
export const longDay = (day: string): string =>
  form({ day: 'numeric', month: 'long', year: 'numeric' }, day)
export const shortDay = (day: string): string =>
  form({ weekday: 'short', day: 'numeric', month: 'short' }, day)
export const plainDay = (day: string): string => form({ day: 'numeric', month: 'short' }, day)
export const monthName = (day: string): string => form({ month: 'long' }, day)

export function later(day: string, days: number): string {
  const date = asDate(day)
  date.setUTCDate(date.getUTCDate() + days)
  return date.toISOString().slice(0, 10)
}
export function daysBetween(from: string, to: string): number {
  return Math.round((asDate(to).getTime() - asDate(from).getTime()) / 86_400_000)
}
/** Seconds of the day to the clock's hour, as the user writes it. */
export function clock(seconds: number): string {
  return new Intl.DateTimeFormat(locale(), {
    timeZone: 'UTC',
    hour: 'numeric',
    minute: '2-digit',
  }).format(new Date(Math.round(seconds / 60) * 60_000))
}
export function instant(iso: string): string {
  const date = new Date(iso)
  if (Number.isNaN(date.getTime())) return iso
  return new Intl.DateTimeFormat(locale(), {
    day: 'numeric', month: 'short', hour: 'numeric', minute: '2-digit',
  }).format(date)
}
const pad = (value: number): string => String(value).padStart(2, '0')
const localDay = (date: Date): string =>
  `${date.getFullYear()}-${pad(date.getMonth() + 1)}-${pad(date.getDate())}`
/** The program's day, moved on when the page has been open past midnight. */
export function today(atOpening: string, opened: Date, now = new Date()): string {
  return later(atOpening, daysBetween(localDay(opened), localDay(now)))
}
/** The present hour on a day. */
export function nowOn(on: string, now = new Date()): string {
  if (on === localDay(now)) return now.toISOString()
  // To the millisecond: steps that follow on each other at once keep their order.
  const ms = String(now.getMilliseconds()).padStart(3, '0')
  return new Date(`${on}T${pad(now.getHours())}:${pad(now.getMinutes())}:${pad(now.getSeconds())}.${ms}`).toISOString()
}
/** "07:40", "7:40 am" to seconds of the day. */
export function secondsOf(text: string): number | null {
  const match = /^\s*(\d{1,2})[:.h](\d{2})(?::\d{2})?\s*(am|pm)?\s*$/i.exec(text)
  if (!match) return null
  let hours = Number(match[1])
  const minutes = Number(match[2])
  const half = match[3]?.toLowerCase()
  if (half && (hours < 1 || hours > 12)) return null
  if (half === 'pm' && hours < 12) hours += 12
  if (half === 'am' && hours === 12) hours = 0
  return hours > 23 || minutes > 59 ? null : hours * 3600 + minutes * 60
}
/** "08:00-12:00" to its two ends; null for words that name no hours. */
export function hoursOf(text: string): [number, number] | null {
  const [from, to] = text.split(/\s*(?:-|–|to)\s*/)
  const first = secondsOf(from ?? '')
  const last = secondsOf(to ?? '')
  return first === null || last === null ? null : [first, last]
}
