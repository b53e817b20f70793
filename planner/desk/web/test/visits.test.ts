import assert from 'node:assert/strict'
import { test } from 'node:test'
import { visitsOf } from '../src/core/visits'

const at = (step: string, hour: string): { step: string; at: string } => ({ step, at: `2026-08-04T${hour}:00Z` })
const names = (steps: { step: string }[] | null): string => (steps ?? []).map((one) => one.step).join(' ')

test('a call visited once keeps all steps together, late ones too', () => {
  const { first, second } = visitsOf([at('done', '10:00'), at('arrive', '09:00'), at('comb', '10:05')], false)
  assert.equal(names(first), 'arrive done comb')
  assert.equal(second, null)
})
test('after the first visit has ended the second begins with nothing done', () => {
  assert.equal(visitsOf([at('arrive', '09:00'), at('catch', '09:30')], true).second, null)
  assert.deepEqual(visitsOf([at('arrive', '09:00'), at('done', '09:30')], true).second, [])
})
test('steps of one second keep the order in which they were entered', () => {
  const steps = [at('arrive', '09:30'), at('clean_up', '09:30'), at('done', '09:30'), at('arrive', '09:30'), at('catch', '09:30')]
  steps[0]!.at = '2026-08-04T09:30:00.900Z' // not sent yet: to the millisecond
  const { first, second } = visitsOf(steps, true)
  assert.equal(names(first), 'arrive clean_up done')
  assert.equal(names(second), 'arrive catch')
})
test('times with and without a zone are compared as moments', () => {
  const { first } = visitsOf([{ step: 'done', at: '2026-08-04T12:00:00-04:00' }, { step: 'arrive', at: '2026-08-04T15:00:00Z' }], true)
  assert.equal(names(first), 'arrive done')
})
