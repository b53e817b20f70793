// A call by keyboard alone, with a photo that knows its place, and the wasp guessed on the way.
import assert from 'node:assert/strict'
import { test } from 'node:test'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { browser, openDesk, out, picture } from './support.mjs'
import { theDesk } from './shared.mjs'
import { photoWithPlace } from './photo.mjs'

test('a call by keyboard alone, with a photo', async () => {
  const desk = await theDesk()
  const { context, close } = await browser()
  try {
    const { page, wrong, foreign } = await openDesk(context, desk.base, 'intake', 'Ada')
    const before = (await desk.get('/api/morning?on=2026-08-04')).waiting.length
    await page.getByTestId('guesses').waitFor()
    const guessedFirst = await page.getByTestId('guesses').textContent()
    const began = Date.now()

    // Where: typed, chosen with the arrow keys.
    await page.getByTestId('intake-place').focus()
    await page.keyboard.type('Plurbick Street')
    await page.waitForSelector('.place-box li')
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('ArrowUp')
    await page.keyboard.press('Enter')
    await page.waitForFunction(() => document.querySelector('.place-box ul').hidden)
    await page.keyboard.press('Tab')
    await page.keyboard.type('shed door')
    await page.keyboard.press('Tab')
    await page.keyboard.type('in the gr') // a select goes to what is typed
    await page.keyboard.press('Tab')
    await page.keyboard.type('1 ft')
    assert.equal(await page.getByTestId('intake-kind').inputValue(), 'ground')
    await page.waitForFunction((was) => document.querySelector('[data-testid=guesses]').textContent !== was, guessedFirst)

    // The photo: the file chooser opens from the keyboard as well.
    const file = join(out, 'photo.jpg')
    writeFileSync(file, photoWithPlace(41.25, -76.9, '2026:08:03 17:05:00'))
    const chooser = page.waitForEvent('filechooser')
    await page.getByTestId('intake-photo').focus()
    await page.keyboard.press('Space')
    await (await chooser).setFiles(file)
    await page.waitForSelector('.photo-line img')
    assert.match(await page.locator('.photo-line').textContent(), /41\.25000, -76\.90000/)

    await page.getByTestId('intake-client').focus()
    await page.keyboard.type('An invented name')
    await picture(page, 'intake')
    await page.keyboard.press('Control+Enter')
    await page.waitForFunction(() => [...document.querySelectorAll('.notices p')].some((one) => /entered: shed door/.test(one.textContent)))
    console.log(`# a call took ${Date.now() - began} ms of typing by a machine`)

    const after = (await desk.get('/api/morning?on=2026-08-04')).waiting
    assert.equal(after.length, before + 1)
    const made = after.find((call) => call.site_name === 'shed door')
    assert.equal(made.nest_kind, 'ground')
    assert.ok(Math.abs(made.height_m - 0.3048) < 1e-6)
    const whole = await desk.get(`/api/calls/${made.call}`)
    assert.equal(whole.photos.length, 1, 'the photo is with the call')
    assert.ok(!JSON.stringify(after).includes('An invented name'), 'no client in the list')

    // What cannot be a call is refused at its field, and the form stays.
    await page.getByTestId('intake-place').focus()
    await page.keyboard.press('Control+Enter')
    assert.match(await page.locator('.place-box .wrong').textContent(), /Where is it/)
    assert.deepEqual(wrong, [])
    assert.deepEqual(foreign, [])
  } finally {
    await close()
  }
})

test('nothing typed is ever markup', async () => {
  const desk = await theDesk()
  const { context, close } = await browser()
  try {
    const { page, wrong } = await openDesk(context, desk.base, 'intake', '<b>Eve</b>')
    const words = '<img src=x onerror="document.title=1">'
    await page.getByTestId('intake-place').fill('41.2432,-77.0301')
    await page.waitForSelector('.place-box li')
    await page.keyboard.press('Enter')
    await page.getByTestId('intake-site').fill(words)
    await page.getByTestId('intake-save').click()
    await page.waitForFunction((text) => document.querySelector('.notices')?.textContent.includes(text), words)
    await page.getByRole('link', { name: 'Morning' }).click()
    const row = page.locator('.call-row h2', { hasText: '<img src=x' })
    await row.first().waitFor()
    assert.equal(await page.locator('main img').count(), 0)
    assert.notEqual(await page.title(), '1')
    assert.deepEqual(wrong, [])
  } finally {
    await close()
  }
})
