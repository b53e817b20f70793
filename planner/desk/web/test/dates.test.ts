import assert from 'node:assert/strict'
import { test } from 'node:test'
import { daysBetween, hoursOf, isDay, later, secondsOf } from '../src/core/dates'

test('days are counted across months and summer time', () => {
  assert.equal(later('2026-10-24', 2), '2026-10-26')
  assert.equal(later('2026-03-01', -1), '2026-02-28')
  assert.equal(daysBetween('2026-03-07', '2026-03-09'), 2)
})
test('a day is a date and nothing else', () => {
  assert.ok(isDay('2026-08-04'))
  assert.ok(!isDay('2026-13-01'))
  assert.ok(!isDay('04/08/2026'))
})
test('hours as people write them', () => {
  assert.equal(secondsOf('07:40'), 27_600)
  assert.equal(secondsOf('12:05 am'), 300)
  assert.equal(secondsOf('1:30 pm'), 48_600)
  assert.equal(secondsOf('24:10'), null)
  assert.equal(secondsOf('13:00 pm'), null)
  assert.deepEqual(hoursOf('08:00-12:00'), [28_800, 43_200])
  assert.equal(hoursOf('mornings'), null)
})
