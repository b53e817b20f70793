import assert from 'node:assert/strict'
import { readFileSync, readdirSync } from 'node:fs'
import { test } from 'node:test'
import { changedFields, clashes, settle } from '../src/core/conflict'
import { combFilled, filling, outlineOf } from '../src/core/shapes'
import { readAddress } from '../src/core/address'
import { roundTop } from '../src/parts/curves'

test('only fields that both changed stand against each other', () => {
  const was = { note: '', height_m: 2, allergic: false }
  const mine = changedFields(was, { note: 'ring twice', height_m: 2, allergic: true })
  assert.deepEqual(mine, { note: 'ring twice', allergic: true })
  const theirs = { note: 'dog in the yard', height_m: 3, allergic: false }
  assert.deepEqual(clashes(was, mine, theirs).map((clash) => clash.field), ['note'])
  assert.deepEqual(settle(mine, theirs, { note: 'theirs' }), { allergic: true })
  assert.deepEqual(settle(mine, theirs, { note: 'mine' }), mine)
})
test('the same change by both is no clash', () => {
  assert.deepEqual(clashes({ a: 1 }, { a: 2 }, { a: 2 }), [])
})
test('marks: outline by genus, cell by stage', () => {
  assert.equal(outlineOf('Vespula maculifrons'), 'disc')
  assert.equal(outlineOf('Dolichovespula maculata'), 'drop')
  assert.equal(outlineOf(''), 'diamond')
  assert.deepEqual(filling('raising queens and males, the first of them out'), { level: 1, broken: false })
  assert.deepEqual(filling('decline'), { level: 1, broken: true })
  assert.equal(combFilled(0), '')
  assert.ok(combFilled(0.5).length > 20)
  assert.notEqual(combFilled(0.5), combFilled(1))
})
test('an address from outside cannot name a room that is none', () => {
  assert.deepEqual(readAddress('#/visit/01a2%2Fb?on=2026-08-04'), { room: 'visit', on: '2026-08-04', detail: '01a2/b' })
  assert.equal(readAddress('#/../etc').room, 'morning')
  assert.equal(readAddress('#/season?on=soon').on, '')
})

function sources(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? sources(`${folder}/${entry.name}`) : [`${folder}/${entry.name}`])
}
test('nothing is ever inserted as markup, and no address outside is named', () => {
  for (const file of sources('src')) {
    const text = readFileSync(file, 'utf8')
    assert.ok(!/innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(/.test(text), file)
    assert.ok(!/https?:\/\/(?!www\.w3\.org)/.test(text), file)
    assert.ok(text.split('\n').length < 800, `${file} is too long`)
  }
})

test('an axis ends on a round number, and so does its half', () => {
  for (const [most, top] of [[4895, 5000], [88, 100], [50, 50], [1.01, 1.2], [0.7, 0.8], [1e-9, 1e-9]] as const) {
    assert.ok(Math.abs(roundTop(most) - top) <= top * 1e-9, `${most}: ${roundTop(most)}`)
    assert.ok(roundTop(most) >= most * (1 - 1e-9))
  }
})
