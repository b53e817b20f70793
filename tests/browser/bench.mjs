// How quick the desk feels; prints figures, for people to read:
//   NESTROUND_PROGRAM=... NESTROUND_DEMO_COUNTY=... node bench.mjs [ROADS]
// With another road file only the pans are of use: the demonstration's nests do not lie on it.
// Bounds of the house: first useful paint under 1 s, a re-plan shown under 1.5 s, a pan that never
// blocks the page longer than 50 ms.
import { browser, openDesk, planned, plansSoFar } from './support.mjs'
import { startDesk } from './program.mjs'

const desk = await startDesk({ roads: process.argv[2] ?? '' })
const { context, close } = await browser()
const middle = (all) => [...all].sort((a, b) => a - b)[Math.floor(all.length / 2)]
try {
  const paints = []
  const useful = []
  for (let turn = 0; turn < 5; turn++) {
    const page = await context.newPage()
    await page.addInitScript(() => {
      new MutationObserver((_, observer) => {
        if (!document.querySelector('.call-row')) return
        observer.disconnect()
        requestAnimationFrame(() => { globalThis.usefulAt = performance.now() })
      }).observe(document, { childList: true, subtree: true })
    })
    await page.goto(`${desk.base}/#/morning?on=2026-08-04`)
    await page.waitForFunction(() => globalThis.usefulAt)
    paints.push(await page.evaluate(() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? NaN))
    useful.push(await page.evaluate(() => globalThis.usefulAt))
    await page.close()
  }
  console.log(`first paint ${middle(paints).toFixed(0)} ms; ranked calls on the screen ${useful.map((one) => one.toFixed(0)).join(', ')} ms, middle ${middle(useful).toFixed(0)} ms (bound 1000)`)

  const { page } = await openDesk(context, desk.base)
  if (!process.argv[2]) {
  await planned(page).catch(() => {})
  await page.waitForSelector('.call-row[data-state=in]')
  const replans = []
  for (let turn = 0; turn < 6; turn++) {
    const before = await plansSoFar(page)
    const took = await page.evaluate(async (least) => {
      const row = document.querySelectorAll('.call-row[data-state=in]')[2]
      const began = performance.now()
      row.querySelectorAll('.acts button')[1].click()
      while (Number(document.documentElement.dataset.planned ?? 0) < least) await new Promise(requestAnimationFrame)
      await new Promise(requestAnimationFrame)
      return performance.now() - began
    }, before + 1)
    replans.push(took)
  }
  console.log(`re-plan shown after ${replans.map((one) => one.toFixed(0)).join(', ')} ms, middle ${middle(replans).toFixed(0)} ms (bound 1500)`)
  }
  await page.waitForFunction(() => document.documentElement.dataset.map === 'ready')
  for (const zooms of [0, 2, 2]) {
    for (let turn = 0; turn < zooms; turn++) await page.getByRole('button', { name: 'zoom in' }).click()
    await page.waitForTimeout(1500)
    await page.evaluate(() => {
      globalThis.long = []
      globalThis.frames = 0
      globalThis.watch?.disconnect()
      globalThis.watch = new PerformanceObserver((all) => globalThis.long.push(...all.getEntries().map((one) => one.duration)))
      globalThis.watch.observe({ type: 'longtask' })
      const count = () => { globalThis.frames++; globalThis.counting = requestAnimationFrame(count) }
      cancelAnimationFrame(globalThis.counting)
      count()
    })
    const box = await page.getByTestId('map').boundingBox()
    const began = Date.now()
    await page.mouse.move(box.x + box.width * 0.7, box.y + box.height * 0.5)
    await page.mouse.down()
    for (let step = 0; step < 60; step++) {
      await page.mouse.move(box.x + box.width * (0.7 - step * 0.006), box.y + box.height * (0.5 + Math.sin(step / 8) * 0.1))
      await page.waitForTimeout(12)
    }
    await page.mouse.up()
    const took = Date.now() - began
    await page.waitForTimeout(800)
    const { long, frames } = await page.evaluate(() => ({ long: globalThis.long, frames: globalThis.frames }))
    console.log(`pan of ${took} ms: ${frames} frames, ${long.length} blocks over 50 ms, the longest ${Math.max(0, ...long).toFixed(0)} ms (bound 50)`)
  }
} finally {
  await close()
  await desk.close()
}
