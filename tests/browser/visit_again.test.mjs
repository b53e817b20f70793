// A nest that is to be visited twice on a day: asked for at the desk, planned, and entered step by
// step, the second visit after the first.
import assert from 'node:assert/strict'
import { test } from 'node:test'
import { browser, openDesk, picture, planned, plansSoFar, screens } from './support.mjs'
import { startDesk } from './program.mjs'

test('a second visit is asked for, planned and entered', async () => {
  const desk = await startDesk() // its own: a day that others have filled has no room
  const { context, close } = await browser()
  try {
    const { page, wrong } = await openDesk(context, desk.base, 'morning', 'Ada')
    await planned(page)
    // Of the planned nests the first for whose second visit there is room and worth.
    let call = ''
    for (let tried = 0; !call && tried < 6; ++tried) {
      const row = page.locator('.call-row[data-state=in]').nth(tried)
      const id = await row.getAttribute('data-call')
      await row.locator('h2').click()
      await page.getByTestId('nest-card').getByRole('button', { name: 'Edit' }).click()
      await page.getByTestId('edit-second_after_min').fill('soon')
      await page.getByRole('button', { name: 'Save', exact: true }).click()
      await page.getByText(/a time like 3 h/).waitFor()
      await page.getByTestId('edit-second_after_min').fill('1 h')
      await page.getByTestId('edit-second_min').fill('15 min')
      if (!tried) await picture(page, 'second-visit-asked')
      await page.getByRole('button', { name: 'Save', exact: true }).click()
      await page.getByTestId('call-editor').waitFor({ state: 'detached' })
      const asked = await desk.get(`/api/calls/${id}`)
      assert.equal(asked.second_after_min, 60)
      assert.equal(asked.second_min, 15)
      const before = await plansSoFar(page)
      await page.getByRole('button', { name: /^Plan/ }).first().click()
      await planned(page, before + 1)
      if (await page.locator(`.call-row[data-call="${id}"]`).getByText(/^again /).count()) call = id
    }
    assert.ok(call, 'none of six nests is visited twice')
    await picture(page, 'second-visit-planned')

    await page.setViewportSize(screens.phone)
    await page.goto(`${desk.base}/#/visit/${call}?on=2026-08-04`)
    const count = page.getByTestId('visit-count')
    await count.waitFor()
    assert.match(await count.textContent(), /^first visit; a second one/)
    const tap = (step) => page.locator(`[data-step=${step}] .step-button`).click()
    const state = (step, wanted) => page.waitForSelector(`[data-step=${step}][data-state=${wanted}]`)
    await tap('arrive')
    await state('arrive', 'sent')
    await tap('from_the_ground')
    await state('from_the_ground', 'sent')
    await tap('done')
    await page.getByTestId('first-visit').waitFor()
    await state('arrive', 'open')
    assert.match(await count.textContent(), /^second visit/)
    await page.getByText(/^First visit: arrived .*done .*may begin from/).waitFor()
    const due = await desk.get(`/api/calls/${call}`)
    assert.equal(due.state, 'waiting')
    await tap('arrive')
    await state('arrive', 'sent')
    await page.reload()
    await state('arrive', 'sent')
    await state('from_the_ground', 'open')
    await picture(page, 'second-visit-phone')
    await tap('from_the_ground')
    await tap('done')
    await state('done', 'sent')
    const { steps, visits, state: after } = await desk.get(`/api/visits/${call}`)
    assert.equal(after, 'taken')
    assert.equal(visits.length, 2)
    assert.equal(steps.filter((one) => one.step === 'arrive').length, 2)
    assert.deepEqual(wrong, [])
  } finally {
    await close()
    await desk.close()
  }
})
