// A collection in two taps, and a label that is a PDF to print.
import assert from 'node:assert/strict'
import { test } from 'node:test'
import { browser, openDesk, picture } from './support.mjs'
import { theDesk } from './shared.mjs'

test('a brood collection in two taps', async () => {
  const desk = await theDesk()
  const { context, close } = await browser()
  try {
    const { page, wrong } = await openDesk(context, desk.base, 'brood', 'Ada')
    const row = page.locator('.comb-row').first()
    await row.getByRole('button', { name: /^Collect/ }).click()
    const choice = page.getByTestId('collect').locator('.pad button').last()
    const count = Number(await choice.textContent())
    assert.ok(count > 0)
    await picture(page, 'brood-collect')
    await choice.click()
    await page.waitForSelector('.notices p')
    assert.match(await page.locator('.notices p').first().textContent(), new RegExp(`${count} collected`))
    const brood = await desk.get('/api/brood?on=2026-08-04')
    const taken = brood.habitats.flatMap((one) => one.combs).flatMap((one) => one.collections)
    assert.ok(taken.some((one) => one.workers === count), JSON.stringify(taken))

    // Undo: the last change of this person, no other.
    await page.getByRole('button', { name: 'Undo' }).click()
    await page.waitForFunction(() => [...document.querySelectorAll('.notices p')].some((one) => /taken back/.test(one.textContent)))
    const after = await desk.get('/api/brood?on=2026-08-04')
    assert.ok(!after.habitats.flatMap((one) => one.combs).flatMap((one) => one.collections).some((one) => one.workers === count))
    assert.deepEqual(wrong, [])
  } finally {
    await close()
  }
})

test('a lot, its tree and its label', async () => {
  const desk = await theDesk()
  const { context, close } = await browser()
  try {
    const { page, wrong } = await openDesk(context, desk.base, 'freezer', 'Ada')
    await page.locator('[data-testid=lots] .link').first().click()
    await page.getByTestId('tree').waitFor()
    assert.ok((await page.getByTestId('tree').locator('li').count()) >= 3)
    await picture(page, 'freezer-lot')
    const address = await page.getByTestId('label').getAttribute('href')
    const label = await page.evaluate(async (path) => {
      const answer = await fetch(path)
      const bytes = new Uint8Array(await answer.arrayBuffer())
      return { type: answer.headers.get('content-type'), head: String.fromCharCode(...bytes.slice(0, 5)), size: bytes.length }
    }, address)
    assert.match(label.type, /^application\/pdf/)
    assert.equal(label.head, '%PDF-')
    assert.ok(label.size > 2000)
    assert.deepEqual(wrong, [])
  } finally {
    await close()
  }
})
