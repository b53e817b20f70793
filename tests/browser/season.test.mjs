// A season planned, given up and planned again; where nests gather; a lot sealed; a finger that
// stays on the map. Dialogs and cards that only open on a click are held to axe-core here.
import assert from 'node:assert/strict'
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { test } from 'node:test'
import { browser, openDesk, picture, planned, screens, patience } from './support.mjs'
import { theDesk } from './shared.mjs'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const violations = async (page) => {
  await page.evaluate(axe)
  const { violations: found } = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ['violations'] }))
  return found.map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 160)}`)
}

test('a season is planned, given up, and planned again', async () => {
  const desk = await theDesk()
  const { context, close } = await browser()
  try {
    const { page, wrong } = await openDesk(context, desk.base, 'season', 'Ada')
    const plan = page.getByRole('button', { name: 'Plan the season' })
    await page.getByLabel('to', { exact: true }).fill('2026-09-20')
    await plan.click()
    const works = page.locator('.working')
    await works.getByRole('button', { name: 'Cancel' }).click()
    await works.waitFor({ state: 'detached' })
    assert.equal(await page.getByTestId('calendar').count(), 0, 'what was given up shows no calendar')

    await page.getByLabel('to', { exact: true }).fill('2026-08-09')
    await plan.click()
    const calendar = page.getByTestId('calendar')
    await calendar.waitFor({ timeout: 30000 * patience })
    assert.equal(await calendar.locator('.cal-day').count(), 6)
    const nests = calendar.locator('li button')
    assert.ok((await nests.count()) > 3)
    await nests.first().click()
    await page.getByRole('heading', { name: 'Hold or take' }).waitFor()
    await page.waitForFunction(() => !document.querySelector('.loading'))
    await picture(page, 'season-planned')
    assert.deepEqual(await violations(page), [])
    assert.deepEqual(wrong, [])
  } finally {
    await close()
  }
})

test('where nests gather, season by season', async () => {
  const desk = await theDesk()
  const { context, close } = await browser()
  try {
    const { page, wrong } = await openDesk(context, desk.base, 'season', 'Ada')
    const answered = page.waitForResponse((answer) => answer.url().includes('/api/density.geojson'))
    await page.getByTestId('density').check()
    const all = await (await answered).json()
    assert.ok(all.features.length > 0)
    const moved = page.waitForResponse((answer) => answer.url().includes('/api/density.geojson') && !answer.url().includes('..'))
    await page.locator('.slider input').press('End')
    assert.equal((await moved).status(), 200)
    await page.waitForTimeout(400)
    await picture(page, 'season-density')
    assert.deepEqual(await violations(page), [])
    assert.deepEqual(wrong, [])
  } finally {
    await close()
  }
})

test('a lot is sealed of what is loose, and refused when there is nothing', async () => {
  const desk = await theDesk()
  const { context, close } = await browser()
  try {
    const { page, wrong } = await openDesk(context, desk.base, 'freezer', 'Ada')
    const before = (await desk.get('/api/lots')).lots.length
    await page.getByRole('button', { name: 'Seal a lot' }).click()
    const dialog = page.getByRole('dialog')
    await dialog.getByRole('button', { name: 'Seal', exact: true }).click()
    await dialog.getByRole('alert').waitFor()
    assert.deepEqual(await violations(page), [])
    assert.match(await dialog.getByRole('alert').textContent(), /what goes in/)
    const loose = dialog.locator('fieldset input[type=checkbox]')
    assert.ok((await loose.count()) > 0, 'the demo has something loose')
    await loose.first().check()
    await dialog.getByRole('button', { name: 'Seal', exact: true }).click()
    await dialog.getByText('say in which freezer it lies').waitFor()
    await dialog.getByLabel('freezer', { exact: true }).last().fill('B')
    await picture(page, 'freezer-seal')
    await dialog.getByRole('button', { name: 'Seal', exact: true }).click()
    await page.getByTestId('lot').waitFor().catch(async () => assert.fail(await dialog.textContent()))
    assert.equal((await desk.get('/api/lots')).lots.length, before + 1)
    assert.deepEqual(wrong, [])
  } finally {
    await close()
  }
})

test('a finger that stays on the map begins a call there', async () => {
  const desk = await theDesk()
  const { context, close } = await browser({ viewport: screens.phone, hasTouch: true, isMobile: true })
  try {
    const { page, wrong } = await openDesk(context, desk.base, 'morning', 'Ada')
    await planned(page)
    await page.getByRole('button', { name: 'Map' }).click()
    await page.waitForFunction(() => document.documentElement.dataset.map === 'ready')
    const box = await page.getByTestId('map').boundingBox()
    const finger = await context.newCDPSession(page)
    const at = [{ x: box.x + box.width / 2, y: box.y + box.height / 3 }]
    await finger.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: at })
    await page.waitForTimeout(900)
    await finger.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] })
    await page.waitForFunction(() => location.hash.includes('intake'))
    assert.deepEqual(wrong, [])
  } finally {
    await close()
  }
})
