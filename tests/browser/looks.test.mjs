// Every room at three sizes, light and dark: nothing sticks out, axe-core finds nothing, pictures
// are kept to be looked at.
import assert from 'node:assert/strict'
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { test } from 'node:test'
import { browser, openDesk, picture, planned, screens } from './support.mjs'
import { theDesk } from './shared.mjs'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const rooms = ['morning', 'season', 'brood', 'freezer', 'intake', 'visit']

for (const [size, viewport] of Object.entries(screens)) {
  for (const colorScheme of size === 'wall' ? ['light'] : ['light', 'dark']) {
    test(`rooms at ${size}, ${colorScheme}`, async () => {
      const desk = await theDesk()
      const { context, close } = await browser({ viewport, colorScheme, ...(size === 'phone' ? { hasTouch: true, isMobile: true } : {}) })
      try {
        const { page, wrong, foreign } = await openDesk(context, desk.base, 'morning', 'Ada')
        await planned(page)
        const found = []
        for (const room of rooms) {
          await page.getByRole('link', { name: room, exact: false }).first().click()
          await page.waitForFunction((name) => location.hash.includes(name), room)
          if (room === 'visit') await page.waitForSelector('.visit-row')
          await page.waitForFunction(() => !document.querySelector('.loading'))
          await page.waitForTimeout(250)
          await picture(page, `${room}-${size}-${colorScheme}`)
          const sticksOut = await page.evaluate(() => {
            const sheet = document.querySelector('.sheet')
            return document.documentElement.scrollWidth > innerWidth || sheet.scrollWidth > sheet.clientWidth + 1
          })
          assert.ok(!sticksOut, `${room} is wider than the screen at ${size}`)
          // The page's policy forbids a script element; the driver's own evaluation is outside it.
          await page.evaluate(axe)
          const { violations } = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ['violations'] }))
          found.push(...violations.map(({ id, nodes }) => `${room}: ${id}: ${nodes.slice(0, 3).map((node) => node.html.slice(0, 120)).join(' | ')}`))
        }
        assert.deepEqual(found, [], 'axe-core')
        assert.deepEqual(wrong, [])
        assert.deepEqual(foreign, [])
      } finally {
        await close()
      }
    })
  }
}

test('the user’s own form: metric, German dates', async () => {
  const desk = await theDesk()
  const { context, close } = await browser({ locale: 'de-DE', timezoneId: 'Europe/Berlin' })
  try {
    const { page } = await openDesk(context, desk.base, 'morning', 'Ada')
    await planned(page)
    assert.match(await page.locator('h1').textContent(), /Dienstag.*4\. August 2026/)
    await page.locator('.who').click()
    await page.getByTestId('measures').selectOption('metric')
    await page.getByRole('button', { name: 'Done' }).click()
    assert.match(await page.locator('.crew-lines').textContent(), /\d+ km/)
    assert.doesNotMatch(await page.locator('.crew-lines').textContent(), / AM| mi /)
  } finally {
    await close()
  }
})
