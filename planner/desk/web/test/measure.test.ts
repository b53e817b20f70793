import assert from 'node:assert/strict'
import { test } from 'node:test'
import { countRange, distance, height, mass, massRange, metresFrom, minutesFrom, span } from '../src/core/measure'

test('a mass keeps its span', () => {
  assert.equal(massRange({ p10: 3.6, p50: 20.07, p90: 47.8 }), '20 g (3.6 to 48)')
  assert.equal(mass(12_500), '13 kg')
  assert.equal(mass(9_999), '9,999 g')
})
test('counts are rounded to two figures, as the sheets print them', () => {
  assert.equal(countRange({ p10: 140.6, p50: 524.2, p90: 1250.4 }), '520 (140 to 1,300)')
  assert.equal(countRange({ p10: 0, p50: 7.4, p90: 99.4 }), '7 (0 to 99)')
})
test('lengths in both measures', () => {
  assert.equal(distance(131_459, 'us_customary'), '82 mi')
  assert.equal(distance(131_459, 'metric'), '131 km')
  assert.equal(distance(15, 'us_customary'), '49 ft')
  assert.equal(height(2.5, 'us_customary'), '8 ft up')
  assert.equal(height(-0.2, 'metric'), '0.2 m below the surface')
  assert.equal(height(0, 'metric'), 'at ground level')
})
test('a typed height is read in the unit said, else in that of the page', () => {
  assert.equal(metresFrom('2,5 m', 'us_customary'), 2.5)
  assert.ok(Math.abs(metresFrom('8', 'us_customary')! - 2.4384) < 1e-9)
  assert.equal(metresFrom('8', 'metric'), 8)
  assert.equal(metresFrom('-0.3', 'metric'), -0.3)
  assert.equal(metresFrom('high up', 'metric'), null)
  assert.equal(metresFrom('', 'metric'), null)
})
test('a span of time', () => {
  assert.equal(span(8342), '2 h 19')
  assert.equal(span(3600), '1 h')
  assert.equal(span(595), '10 min')
})
test('a typed time is read as people write it', () => {
  assert.equal(minutesFrom('3 h'), 180)
  assert.equal(minutesFrom('2 h 30'), 150)
  assert.equal(minutesFrom('2:30'), 150)
  assert.equal(minutesFrom('2,5 h'), 150)
  assert.equal(minutesFrom('150 min'), 150)
  assert.equal(minutesFrom('150'), 150)
  assert.equal(minutesFrom(span(8340)), 139)
  for (const wrong of ['', 'later', '-5', '2:75', '1.5']) assert.equal(minutesFrom(wrong), null)
})
