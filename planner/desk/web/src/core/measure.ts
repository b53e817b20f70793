// Numbers as people read them. The program sends SI; the page shows the measures of the book.
import type { Measures } from './store'
import type { Range } from './types'

function rounded(value: number): string {
  const size = Math.abs(value)
  const digits = size >= 100 || Number.isInteger(value) ? 0 : size >= 10 ? 0 : 1
  return value.toLocaleString(undefined, { maximumFractionDigits: digits })
}

export function mass(grams: number): string {
  return grams >= 10_000 ? `${rounded(grams / 1000)} kg` : `${rounded(grams)} g`
}
/** The middle with the span in which four of five lie. */
export function massRange(range: Range): string {
  return `${rounded(range.p50)} g (${rounded(range.p10)} to ${rounded(range.p90)})`
}
export function countRange(range: Range): string {
  const two = (value: number): string => {
    if (value < 100) return rounded(Math.round(value))
    const unit = 10 ** (Math.floor(Math.log10(value)) - 1)
    return rounded(Math.round(value / unit) * unit)
  }
  return `${two(range.p50)} (${two(range.p10)} to ${two(range.p90)})`
}
export function distance(metres: number, measures: Measures): string {
  if (measures === 'us_customary') {
    const miles = metres / 1609.344
    return miles < 0.1 ? `${rounded(Math.round(metres / 0.3048))} ft` : `${rounded(miles)} mi`
  }
  return metres < 1000 ? `${rounded(Math.round(metres))} m` : `${rounded(metres / 1000)} km`
}
export function height(metres: number, measures: Measures): string {
  const size = Math.abs(metres)
  const words =
    measures === 'us_customary' ? `${rounded(Math.round(size / 0.3048))} ft` : `${rounded(size)} m`
  if (size < 0.05) return 'at ground level'
  return metres < 0 ? `${words} below the surface` : `${words} up`
}
/** A height as typed, in the measures of the page, to metres; null when it is no number. */
export function metresFrom(text: string, measures: Measures): number | null {
  const match = /^\s*(-?\d+(?:[.,]\d+)?)\s*(m|ft|'|cm|in)?\s*$/i.exec(text)
  if (!match) return null
  const value = Number(match[1]!.replace(',', '.'))
  const unit = (match[2] ?? (measures === 'us_customary' ? 'ft' : 'm')).toLowerCase()
  const factor = { m: 1, cm: 0.01, ft: 0.3048, "'": 0.3048, in: 0.0254 }[unit] ?? 1
  return value * factor
}
/** Whole minutes of `3 h`, `2 h 30`, `2:30`, `150 min` or `150`; null for anything else. */
export function minutesFrom(text: string): number | null {
  const whole = /^\s*(\d{1,4})\s*(?:min(?:utes)?|m)?\s*$/i.exec(text)
  if (whole) return Number(whole[1])
  const hours = /^\s*(\d{1,2})(?:[.,](\d))?\s*(?:h|hours?)\s*$/i.exec(text)
  if (hours) return Number(hours[1]) * 60 + Number(hours[2] ?? 0) * 6
  const both = /^\s*(\d{1,2})\s*(?:h|:)\s*([0-5]?\d)\s*(?:min)?\s*$/i.exec(text)
  return both ? Number(both[1]) * 60 + Number(both[2]) : null
}
export function span(seconds: number): string {
  const minutes = Math.round(seconds / 60)
  if (minutes < 60) return `${minutes} min`
  const rest = minutes % 60
  return rest ? `${Math.floor(minutes / 60)} h ${String(rest).padStart(2, '0')}` : `${minutes / 60} h`
}
export function money(minor: number, currency: string | undefined): string {
  if (!currency) return (minor / 100).toLocaleString(undefined, { minimumFractionDigits: 2 })
  return (minor / 100).toLocaleString(undefined, { style: 'currency', currency })
}
