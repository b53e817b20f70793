// Chromium, the program and pictures, for the tests beside this file.
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium } from 'playwright-core'

export const out = process.env.NESTROUND_BROWSER_OUT ?? join(tmpdir(), 'nestround-browser')
mkdirSync(out, { recursive: true })
export const executablePath = process.env.NESTROUND_CHROMIUM ?? '/usr/bin/chromium'

/** How many times slower than usual the program may be: the sanitizers ask for some. */
export const patience = Number(process.env.NESTROUND_PATIENCE ?? 1)

const flags = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync']

export const screens = {
  phone: { width: 360, height: 740 },
  desk: { width: 1280, height: 800 },
  wall: { width: 3840, height: 2160 },
}

/** One browser with its own empty profile; closing it takes the profile away. */
export async function browser(options = {}) {
  const profile = mkdtempSync(join(tmpdir(), 'nestround-profile-'))
  const context = await chromium.launchPersistentContext(profile, {
    executablePath, args: flags, locale: 'en-US', timezoneId: 'America/New_York', viewport: screens.desk,
    reducedMotion: 'reduce', ...options,
  })
  context.setDefaultTimeout(8000 * patience)
  return { context, close: async () => { await context.close(); rmSync(profile, { recursive: true, force: true }) } }
}

/** A page of the desk that minds everything a browser complains of. */
export async function openDesk(context, base, address = 'morning', name = '') {
  const page = await context.newPage()
  const wrong = []
  page.on('pageerror', (error) => wrong.push(`error: ${error.message}`))
  page.on('console', (message) => {
    if (message.type() === 'error' && !/ERR_INTERNET_DISCONNECTED|ERR_CONNECTION_REFUSED|ERR_FAILED|status of 4(09|12|22)/.test(message.text())) {
      wrong.push(`console: ${message.text()} ${message.location().url}`)
    }
  })
  const foreign = []
  page.on('request', (request) => {
    const url = new URL(request.url())
    if (/^https?:$/.test(url.protocol) && url.origin !== base) foreign.push(request.url())
  })
  if (name) await page.addInitScript((who) => localStorage.setItem('person', who), name)
  await page.goto(`${base}/#/${address}${address.includes('?') ? '' : '?on=2026-08-04'}`)
  await page.waitForSelector('.shell')
  return { page, wrong, foreign }
}
/** A plan is on the screen: one that stood, or, with a number, the page's own so manieth. */
export const planned = (page, times = 0) => times
  ? page.waitForFunction((least) => Number(document.documentElement.dataset.planned ?? 0) >= least, times, { timeout: 20000 * patience })
  : page.waitForSelector('.crew-lines', { state: 'attached', timeout: 20000 * patience })
export const plansSoFar = (page) => page.evaluate(() => Number(document.documentElement.dataset.planned ?? 0))
export const picture = (page, name) => page.screenshot({ path: join(out, `${name}.png`) })
