// Small drawings of a figure over days: a band for four of five, a line for the middle.
import { useEffect } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { get, query } from '../core/api'
import { list, object, range, text, number } from '../core/adapt'
import { day, tellFailure } from '../core/store'
import { monthName, plainDay, shortDay } from '../core/dates'
import { mass } from '../core/measure'
import type { Range } from '../core/types'

export interface CurvePoint extends Range {
  on: string
}
export function pointsOf(value: unknown, figure: string): CurvePoint[] {
  return list(value).map((entry) => {
    const point = object(entry)
    const figures = object(point[figure])
    const found = Object.keys(figures).length ? range(figures)
      : point[`${figure}_p50`] !== undefined
        ? { p10: number(point[`${figure}_p10`]), p50: number(point[`${figure}_p50`]), p90: number(point[`${figure}_p90`]) }
        : range(point)
    return { on: text(point['on'] ?? point['day'] ?? point['date']), ...found }
  }).filter((point) => point.on)
}

/** The next number that ends an axis well, and whose half is one too. */
export function roundTop(most: number): number {
  const ten = 10 ** Math.floor(Math.log10(most))
  return ten * [1, 1.2, 1.6, 2, 3, 4, 5, 6, 8, 10].find((step) => most <= ten * step * (1 + 1e-9))!
}

export function Curve(props: {
  points: CurvePoint[]
  label: string
  unit: (value: number) => string
  mark?: string
  now?: string
  actual?: { on: string; value: number }[]
  height?: number
}) {
  const { points } = props
  if (points.length < 2) return <p class="hint">no curve for this</p>
  const width = 360
  const height = props.height ?? 120
  const pad = { left: 44, right: 8, top: 8, bottom: 20 }
  const top = roundTop(Math.max(...points.map((point) => point.p90), ...(props.actual ?? []).map((one) => one.value), 1e-9))
  const days = [...points, ...(props.actual ?? [])].map((point) => Date.parse(point.on))
  const first = Math.min(...days)
  const last = Math.max(...days)
  const x = (on: string | number): number =>
    pad.left + (((typeof on === 'number' ? on : Date.parse(on)) - first) / (last - first || 1)) * (width - pad.left - pad.right)
  const y = (value: number): number => height - pad.bottom - (value / top) * (height - pad.top - pad.bottom)
  const line = (pick: (point: CurvePoint) => number): string =>
    points.map((point, index) => `${index ? 'L' : 'M'}${x(point.on).toFixed(1)} ${y(pick(point)).toFixed(1)}`).join('')
  const band = line((point) => point.p90) +
    [...points].reverse().map((point) => `L${x(point.on).toFixed(1)} ${y(point.p10).toFixed(1)}`).join('') + 'z'
  const best = points.reduce((a, b) => (b.p50 > a.p50 ? b : a))
  const long = last - first > 80 * 86_400_000
  const ticks = long ? points.filter((point, index) => index > 0 && point.on.slice(0, 7) !== points[index - 1]!.on.slice(0, 7)).map((point) => point.on)
    : points.filter((_, index) => index % Math.max(1, Math.ceil(points.length / 5)) === 0).map((point) => point.on)
  return (
    <svg class="curve" viewBox={`0 0 ${width} ${height}`} role="img"
      aria-label={`${props.label}: most about ${props.unit(best.p50)} on ${shortDay(best.on)}; four of five between the edges of the band`}>
      {[0, 0.5, 1].map((share) => (
        <g key={share}>
          <line x1={pad.left} x2={width - pad.right} y1={y(top * share)} y2={y(top * share)} class="grid" />
          <text x={pad.left - 5} y={y(top * share) + 4} text-anchor="end">{props.unit(top * share)}</text>
        </g>
      ))}
      {ticks.map((on) => <text key={on} x={Math.min(width - 24, x(on))} y={height - 5} text-anchor="middle">{long ? monthName(on).slice(0, 3) : plainDay(on)}</text>)}
      <path d={band} class="band" />
      <path d={line((point) => point.p50)} class="middle" />
      {props.now && Date.parse(props.now) >= first && Date.parse(props.now) <= last &&
        <line x1={x(props.now)} x2={x(props.now)} y1={pad.top} y2={height - pad.bottom} class="now" />}
      {(props.actual ?? []).map((one) => <circle key={one.on} cx={x(one.on)} cy={y(one.value)} r="3.500" class="actual" />)}
      {props.mark && <line x1={x(props.mark)} x2={x(props.mark)} y1={pad.top} y2={height - pad.bottom} class="mark" />}
    </svg>
  )
}

/** Whether to take a nest now or let it grow: what it would give on each day to come. */
export function HoldCurve(props: { call: string }) {
  const answer = useSignal<Record<string, unknown> | null>(null)
  useEffect(() => {
    answer.value = null
    const stop = new AbortController()
    get<unknown>(`/api/calls/${encodeURIComponent(props.call)}/hold` + query({ on: day.value }), stop.signal)
      .then((value) => (answer.value = object(value)))
      .catch(tellFailure)
    return () => stop.abort()
  }, [props.call, day.value])
  if (!answer.value) return <p class="loading">reading the forecast</p>
  const points = pointsOf(answer.value['days'] ?? answer.value['curve'] ?? answer.value['points'], 'grams')
  const best = points.length ? points.reduce((a, b) => (b.p50 > a.p50 ? b : a)) : null
  const words = text(answer.value['words'] ?? answer.value['advice'])
  return (
    <div class="hold" data-testid="hold">
      <Curve points={points} label="grams if taken on a day" unit={mass} now={day.value} {...(best ? { mark: best.on } : {})} />
      <p class="hint">{words || (best ? `By the forecast it gives most about ${shortDay(best.on)}: ${mass(best.p50)} (${mass(best.p10)} to ${mass(best.p90)}). The bars and the client’s days come first.` : '')}</p>
    </div>
  )
}
