// All tests of the desk in a browser, one after the other, with one program:
//   NESTROUND_PROGRAM=... NESTROUND_DEMO_COUNTY=... node run.mjs [part of a file's name]
import { existsSync, readdirSync } from 'node:fs'
import { test } from 'node:test'
import { executablePath, patience } from './support.mjs'
import { endDesk } from './shared.mjs'
import { program } from './program.mjs'

if (!existsSync(executablePath)) {
  console.log(`SKIPPED: no browser at ${executablePath} (Debian: chromium)`)
  process.exit(77)
}
if (!program || !existsSync(program)) throw new Error('NESTROUND_PROGRAM names no program')
const wanted = process.argv[2] ?? ''
for (const name of readdirSync(new URL('.', import.meta.url)).filter((one) => one.endsWith('.test.mjs') && one.includes(wanted)).sort()) {
  await import(`./${name}`)
}
test('the desk ends when it is told to', { timeout: 15_000 * patience }, endDesk)
