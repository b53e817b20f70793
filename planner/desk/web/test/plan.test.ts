import assert from 'node:assert/strict'
import { readFileSync } from 'node:fs'
import { test } from 'node:test'
import { callFrom, compare, limitFrom, piecesOf, planFrom } from '../src/core/adapt'

const day = JSON.parse(readFileSync('mock/day.json', 'utf8')) as unknown
const copy = <T>(value: T): T => structuredClone(value)

test('the day as the program writes it', () => {
  const plan = planFrom(day)
  assert.equal(plan.on, '2026-08-04')
  assert.deepEqual(plan.crews.map((crew) => crew.stops.length), [6, 8])
  assert.equal(plan.leftOut.length, 53)
  assert.deepEqual(plan.sun, { first_s: 6 * 3600 + 300, last_s: 20 * 3600 + 1200 })
  assert.deepEqual(plan.crews[0]!.limits, [{ words: 'comb boxes', room: 9, used: 6 }])
})
test('pieces of a day follow on each other and leave no gap', () => {
  for (const crew of planFrom(day).crews) {
    const pieces = piecesOf(crew)
    assert.equal(pieces[0]!.from, crew.depart_s)
    assert.equal(pieces.at(-1)!.to, crew.home_s)
    pieces.slice(1).forEach((piece, index) => {
      assert.ok(Math.abs(piece.from - pieces[index]!.to) <= 60, `${crew.name} ${index}`)
    })
    assert.equal(pieces.filter((piece) => piece.kind === 'work').length, crew.stops.length)
    assert.equal(pieces.filter((piece) => piece.kind === 'break').length, 1)
  }
})
test('what changed: in, out, another crew, another hour', () => {
  const before = planFrom(day)
  assert.deepEqual(compare(null, before), [])
  assert.deepEqual(compare(before, copy(before)), [])
  const after = copy(before)
  const [hill, river] = after.crews
  const gone = hill!.stops.shift()!
  const moved = hill!.stops.shift()!
  river!.stops.push(moved)
  hill!.stops[0]!.begin_s += 1800
  const fresh = copy(gone)
  fresh.call = { ...after.leftOut[0]!.call }
  hill!.stops.push(fresh)
  const kinds = compare(before, after).map((change) => `${change.kind} ${change.label}`)
  assert.deepEqual(kinds.slice(0, 2), [`in ${fresh.call.label}`, `out ${gone.call.label}`])
  assert.ok(kinds.includes(`moved ${moved.call.label}`))
  assert.equal(kinds.length, 4)
})
test('a load against its limit is read from words', () => {
  assert.deepEqual(limitFrom('comb boxes: room for 9 nests, 6 taken'), { words: 'comb boxes', room: 9, used: 6 })
  assert.equal(limitFrom('dry ice as it comes'), null)
})
test('missing and foreign fields give empty values, not a broken page', () => {
  const call = callFrom({ score: 'high', place: null, why: 'words', nest: 7 })
  assert.equal(call.lon, null)
  assert.equal(call.score, 0)
  assert.deepEqual(call.why, [])
  assert.deepEqual(planFrom(null).crews, [])
})
