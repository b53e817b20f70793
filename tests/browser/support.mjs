// Chromium, the program and pictures, for the tests beside this file.
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium } from 'playwright-core'

export const out = process.env.NESTROUND_BROWSER_OUT ?? join(tmpdir(), 'nestround-browser')
mkdirSync(out, { recursive: true })
export const executablePath = process.env.NESTROUND_CHROMIUM ?? '/usr/bin/chromium'

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
  context.setDefaultTimeout(8000)
  return { context, close: async () => { await context.close(); rmSync(profile, { recursive: true, force: true }) } }
}
