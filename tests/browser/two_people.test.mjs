// Two browsers on one call: each sees the other's change, and none is overwritten in silence.
import assert from 'node:assert/strict'
import { test } from 'node:test'
import { browser, openDesk, picture, planned } from './support.mjs'
import { theDesk } from './shared.mjs'

test('two people change the same call', async () => {
  const desk = await theDesk()
  const one = await browser()
  const two = await browser()
  try {
    const ada = (await openDesk(one.context, desk.base, 'morning', 'Ada')).page
    const ben = (await openDesk(two.context, desk.base, 'morning', 'Ben')).page
    await planned(ada)
    await ben.waitForSelector('.call-row')
    const row = ada.locator('.call-row').nth(3)
    const id = await row.getAttribute('data-call')
    const open = async (page) => {
      await page.locator(`.call-row[data-call="${id}"] h2`).click()
      await page.getByTestId('nest-card').getByRole('button', { name: 'Edit' }).click()
      await page.getByTestId('call-editor').waitFor()
    }
    await open(ada)
    await open(ben)
    await ada.getByTestId('edit-note').fill('ring twice')
    await ada.getByTestId('edit-entrance').fill('under the third board')
    await ada.getByRole('button', { name: 'Save', exact: true }).click()
    await ada.getByTestId('call-editor').waitFor({ state: 'detached' })
    await ben.waitForFunction(() => [...document.querySelectorAll('.notices p')].some((p) => /Ada changed call/.test(p.textContent)))

    await ben.getByTestId('edit-note').fill('a dog in the yard')
    await ben.getByRole('button', { name: 'Save', exact: true }).click()
    const clash = ben.getByTestId('conflict')
    await clash.waitFor()
    await picture(ben, 'conflict')
    assert.equal(await clash.locator('tbody tr').count(), 1, 'only the field that both changed')
    const words = await clash.textContent()
    assert.ok(words.includes('ring twice') && words.includes('a dog in the yard'))
    let now = await desk.get(`/api/calls/${id}`)
    assert.equal(now.note, 'ring twice', 'nothing is overwritten before the choice')
    await clash.getByLabel('a dog in the yard').check()
    await ben.getByRole('button', { name: 'Save this choice' }).click()
    await clash.waitFor({ state: 'detached' })
    now = await desk.get(`/api/calls/${id}`)
    assert.equal(now.note, 'a dog in the yard')
    assert.equal(now.entrance, 'under the third board', 'the other field stands')
    assert.equal(now.changed_by, 'Ben')

    // Ada's last change was overtaken: taking it back is refused, with a reason.
    await ada.getByRole('button', { name: 'Undo' }).click()
    await ada.waitForSelector('.notices p.failed')
    assert.equal((await desk.get(`/api/calls/${id}`)).note, 'a dog in the yard')
    // Ben's can be.
    await ben.getByRole('button', { name: 'Undo' }).click()
    await ben.waitForFunction(() => [...document.querySelectorAll('.notices p')].some((p) => /taken back/.test(p.textContent)))
    assert.equal((await desk.get(`/api/calls/${id}`)).note, 'ring twice')
  } finally {
    await one.close()
    await two.close()
  }
})
