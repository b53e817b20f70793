// The whole morning: look, put out, take in, pin, see what changed, by mouse and by keyboard.
import assert from 'node:assert/strict'
import { test } from 'node:test'
import { browser, openDesk, picture, planned, plansSoFar } from './support.mjs'
import { theDesk } from './shared.mjs'

test('a whole morning', async () => {
  const desk = await theDesk()
  const { context, close } = await browser()
  try {
    const { page, wrong, foreign } = await openDesk(context, desk.base, 'morning', 'Ada')
    await planned(page)
    const rows = page.locator('.call-row')
    const scores = await page.locator('.call-row .score b').allTextContents()
    assert.ok(scores.length > 30, `${scores.length} calls`)
    assert.deepEqual(scores.map(Number), scores.map(Number).sort((a, b) => b - a), 'ranked, best first')
    for (const row of (await rows.all()).slice(0, 5)) assert.ok((await row.locator('.why li').count()) > 0, 'each says why')
    const strips = page.getByTestId('strips')
    assert.equal(await strips.locator('.strip-row').count(), 2)
    assert.ok((await strips.locator('.piece.work').count()) >= 8)
    assert.ok((await strips.locator('.piece.drive').count()) >= 8)
    assert.ok((await strips.locator('.load').count()) >= 1, 'a load against its limit')

    // Out: it leaves the plan, and the page says so.
    const first = page.locator('.call-row[data-state=in]').first()
    const id = await first.getAttribute('data-call')
    const label = (await first.locator('h2').textContent()).replace(/allergic|promised/g, '')
    const row = page.locator(`.call-row[data-call="${id}"]`)
    let before = await plansSoFar(page)
    const began = Date.now()
    await row.getByRole('button', { name: 'Out', exact: true }).click()
    await planned(page, before + 1)
    const took = Date.now() - began
    console.log(`# re-plan shown after ${took} ms`)
    assert.equal(await row.getAttribute('data-state'), 'out')
    const changed = page.getByTestId('changed')
    await changed.waitFor()
    assert.ok((await changed.locator('li.out').allTextContents()).some((words) => words.includes(label)), 'what changed names it')
    await picture(page, 'morning-changed')

    // In again, and must stay in.
    before = await plansSoFar(page)
    await row.getByRole('button', { name: 'In', exact: true }).click()
    await planned(page, before + 1)
    assert.equal(await row.getAttribute('data-state'), 'in')
    assert.equal(await row.getByRole('button', { name: 'In', exact: true }).getAttribute('aria-pressed'), 'true')

    // Pin to an hour, from the keyboard.
    before = await plansSoFar(page)
    await row.focus()
    await page.keyboard.press('p')
    const dialog = page.getByRole('dialog', { name: /^Pin/ })
    await dialog.getByTestId('pin-hour').fill('10:00')
    await page.keyboard.press('Enter')
    await planned(page, before + 1)
    const when = await row.locator('.when').textContent()
    assert.match(when, /10:00 AM/, `pinned: ${when}`)

    // Arrow keys walk the list; Enter shows the nest.
    await rows.first().focus()
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('Enter')
    const second = await rows.nth(1).locator('h2').textContent()
    const card = page.getByTestId('nest-card')
    await card.waitFor()
    assert.ok(second.includes(await card.locator('h2').textContent()))
    await picture(page, 'morning-nest')
    await page.getByRole('button', { name: 'close the nest' }).click()

    // A click on the map shows a nest; a right click offers to enter a call there.
    await page.waitForFunction(() => document.documentElement.dataset.map === 'ready')
    const box = await page.getByTestId('map').boundingBox()
    await page.mouse.click(box.x + box.width * 0.62, box.y + box.height * 0.3, { button: 'right' })
    await page.getByRole('button', { name: 'Enter a call here' }).click()
    await page.getByTestId('intake').waitFor()
    // The room fills the field in once it stands.
    await page.waitForFunction(() => /^41\.\d+, -7\d\.\d+$/.test(document.querySelector('[data-testid=intake-place]').value))

    assert.deepEqual(wrong, [])
    assert.deepEqual(foreign, [], 'no request leaves the machine')
  } finally {
    await close()
  }
})
