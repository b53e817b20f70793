// A visit on a phone: the connection goes in the middle, the page is loaded again without it, the
// program is started anew, and at the end each step stands in the book once.
import assert from 'node:assert/strict'
import { test } from 'node:test'
import { browser, openDesk, patience, picture, planned, screens } from './support.mjs'
import { theDesk } from './shared.mjs'

/** A phone whose storage takes its time: what is written is known to be written only so much later. */
const slowStorage = (delayMs) => {
  const { set, ...rest } = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, 'oncomplete')
  Object.defineProperty(IDBTransaction.prototype, 'oncomplete', {
    ...rest,
    set(handler) {
      set.call(this, this.mode === 'readwrite' ? (event) => setTimeout(() => handler.call(this, event), delayMs) : handler)
    },
  })
}
/** A browser with no room left. */
const fullStorage = () => {
  IDBObjectStore.prototype.put = () => { throw new DOMException('no room', 'QuotaExceededError') }
}

test('a step that the browser cannot keep is sent at once, and without a connection never called kept', async () => {
  const desk = await theDesk()
  const { context, close } = await browser({ viewport: screens.phone, hasTouch: true, isMobile: true })
  try {
    await context.addInitScript(fullStorage)
    const { page } = await openDesk(context, desk.base, 'visit', 'Ada')
    await page.locator('.visit-row').last().click()
    await page.locator('[data-step=arrive] .step-button').click()
    await page.waitForSelector('[data-step=arrive][data-state=sent]')
    await context.setOffline(true)
    await page.locator('[data-step=ladder] .step-button').click()
    await page.getByText(/Ladder, .*NOT entered.*write it down/).waitFor()
    await page.waitForSelector('[data-step=ladder][data-state=open]')
    await context.setOffline(false)
    await page.locator('[data-step=ladder] .step-button').click()
    await page.waitForSelector('[data-step=ladder][data-state=sent]')
  } finally {
    await close()
  }
})

test('a visit with the connection cut in the middle', async () => {
  const desk = await theDesk()
  const { context, close } = await browser({ viewport: screens.phone, hasTouch: true, isMobile: true })
  try {
    await context.addInitScript(slowStorage, 150)
    const { page, wrong, foreign } = await openDesk(context, desk.base, 'morning', 'Ben')
    await planned(page)
    await page.evaluate(() => navigator.serviceWorker.ready)
    await page.reload() // now the service worker answers, and keeps what it answers
    await page.waitForSelector('.call-row')
    await page.getByRole('link', { name: 'Visit' }).click()
    await page.locator('.visit-row').first().click()
    await page.waitForSelector('[data-step=arrive]')
    const call = decodeURIComponent(/#\/visit\/([^?]+)/.exec(page.url())[1])
    const tap = (step) => page.locator(`[data-step=${step}] .step-button`).click()
    const state = (step, wanted) => page.waitForSelector(`[data-step=${step}][data-state=${wanted}]`)
    await tap('arrive')
    await state('arrive', 'sent')
    assert.match(await page.locator('.mind').textContent(), /no ladder is planned here/)
    await picture(page, 'visit-phone')

    await context.setOffline(true)
    await tap('from_the_ground')
    await state('from_the_ground', 'kept')
    await tap('ladder')
    await tap('catch')
    await page.getByTestId('figure-grams').fill('31,5')
    await page.getByTestId('figure-workers').fill('640')
    await page.locator('[data-step=catch]').getByRole('button', { name: 'Keep' }).click()
    await state('catch', 'kept')
    assert.match(await page.getByTestId('waiting').textContent(), /^3 to send/)
    assert.match(await page.getByTestId('line').textContent(), /no connection/)
    await picture(page, 'visit-offline')

    // Loaded again without a connection: the shell and what was tapped are still there.
    await page.reload()
    await state('catch', 'kept')
    assert.match(await page.locator('[data-step=catch]').textContent(), /31\.5/)
    await tap('comb')
    await page.locator('[data-step=comb]').getByRole('button', { name: 'Keep' }).click()
    await state('comb', 'kept')
    assert.equal((await desk.get(`/api/visits/${call}`)).steps.length, 1, 'nothing was sent yet')

    // The program itself ends and comes back with another token; then the connection returns.
    await desk.end()
    await desk.start()
    await context.setOffline(false)
    await page.waitForFunction(() => !document.querySelector('[data-testid=waiting]'), null, { timeout: 20000 * patience })
    await state('comb', 'sent')
    await tap('clean_up')
    await tap('done')
    await state('done', 'sent')
    const { steps } = await desk.get(`/api/visits/${call}`)
    assert.deepEqual(steps.map((step) => step.step).sort(), ['arrive', 'catch', 'clean_up', 'comb', 'done', 'from_the_ground', 'ladder'])
    assert.equal(new Set(steps.map((step) => step.step_id)).size, 7)
    assert.equal(steps.find((step) => step.step === 'catch').figures.grams, 31.5)
    await picture(page, 'visit-done')
    // The first try after the new start is refused for its old token; that is how the page learns of it.
    assert.deepEqual(wrong.filter((one) => !/403 \(Forbidden\).*\/steps$/.test(one)), [])
    assert.deepEqual(foreign, [])
  } finally {
    await close()
  }
})
