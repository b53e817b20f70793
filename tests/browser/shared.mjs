// One program for all tests of a run; run.mjs ends it.
import { startDesk } from './program.mjs'
let started
export function theDesk() {
  started ??= startDesk()
  return started
}
export async function endDesk() {
  if (started) await (await started).close()
}
