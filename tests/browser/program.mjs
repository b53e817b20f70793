// The demonstration's book and the program that serves it.
import { execFileSync, spawn } from 'node:child_process'
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { out } from './support.mjs'

export const program = process.env.NESTROUND_PROGRAM
const generator = process.env.NESTROUND_DEMO_COUNTY
const source = process.env.NESTROUND_SOURCE ?? join(dirname(fileURLToPath(import.meta.url)), '..', '..')
export const day = '2026-08-04'

/** County, book, combs and bags as demo-region/run makes them; kept until the program is newer. */
function demo() {
  const folder = join(out, 'demo')
  const stamp = join(folder, '.made')
  if (existsSync(stamp) && statSync(stamp).mtimeMs > statSync(program).mtimeMs) return folder
  rmSync(folder, { recursive: true, force: true })
  mkdirSync(folder, { recursive: true })
  execFileSync(generator, [folder], { stdio: 'ignore' })
  const at = (name) => join(folder, name)
  const book = at('demo.gpkg')
  const run = (...words) => execFileSync(program, words, { stdio: ['ignore', 'pipe', 'inherit'] })
  run('roads', 'build', at('county.osm.pbf'), '--to', at('county.roads'), '--attribution', 'invented for this demonstration')
  run('places', 'build', at('county.osm.pbf'), '--to', at('county.places'), '--attribution', 'invented for this demonstration')
  run('book', 'create', book)
  run('settings', 'import', book, at('settings.toml'))
  run('crew', 'import', book, at('crews.csv'), '--gear', at('gear.csv'))
  run('call', 'import', book, at('past_calls.csv'))
  run('catch', 'import', book, at('past_catches.csv'))
  run('call', 'import', book, at('calls.csv'))
  run('weather', 'import', book, at('weather.csv'))
  run('call', 'import', book, join(source, 'demo-region/brood_calls.csv'))
  run('habitat', 'add', book, '--name', 'warm box 1', '--combs', '2', '--set-point', '30C')
  run('habitat', 'add', book, '--name', 'loft', '--place', 'north yard', '--combs', '3', '--set-point', '27C', '--trip-min', '35', '--passing-min', '8')
  run('comb', 'add', book, '--call', 'B1', '--habitat', 'warm box 1', '--on', '2026-07-27', '--at', '19:30', '--sealed', '460', '--larvae', '240', '--eggs', '160')
  run('comb', 'add', book, '--call', 'B3', '--habitat', 'loft', '--on', '2026-08-01', '--at', '18:30', '--sealed', '620', '--larvae', '300', '--estimated')
  run('collection', 'add', book, '--habitat', 'warm box 1', '--on', '2026-08-02', '--workers', '88', '--grams', '5.6')
  run('lot', 'seal', book, '--method', 'dry_ice', '--freezer', 'A', '--who', 'River crew', '--call', 'P072,P066', '--shelf', '1', '--box', '1')
  run('order', 'add', book, '--laboratory', 'LAB-A', '--species', 'Vespula maculifrons', '--grams', '900', '--by', '2026-10-31', '--placed', '2026-05-04', '--price', '9.50')
  writeFileSync(stamp, '')
  return folder
}

/** The desk on a fresh copy of the demonstration's book. */
export async function startDesk({ port = 0, roads = '' } = {}) {
  const made = demo()
  const folder = mkdtempSync(join(tmpdir(), 'nestround-desk-'))
  copyFileSync(join(made, 'demo.gpkg'), join(folder, 'demo.gpkg'))
  const words = ['desk', join(folder, 'demo.gpkg'), '--roads', roads || join(made, 'county.roads'), '--places', join(made, 'county.places'),
    '--on', day, '--port', String(port), '--no-open']
  let child
  const start = () => new Promise((resolve, reject) => {
    child = spawn(program, words, { stdio: ['ignore', 'pipe', 'pipe'] })
    let said = ''
    const hear = (piece) => {
      said += piece
      const found = /https?:\/\/127\.0\.0\.1:(\d+)\//.exec(said)
      if (found) {
        words[words.indexOf('--port') + 1] = found[1] // a second start takes the same port
        resolve(found[0].slice(0, -1))
      }
    }
    child.stdout.on('data', hear)
    child.stderr.on('data', hear)
    child.on('exit', (code) => reject(new Error(`the desk ended with ${code}: ${said}`)))
  })
  const base = await start()
  const end = () => new Promise((resolve) => {
    child.removeAllListeners('exit')
    child.on('exit', resolve)
    child.kill('SIGTERM')
  })
  return {
    base, start, end, folder,
    close: async () => { await end(); rmSync(folder, { recursive: true, force: true }) },
    get: async (path) => (await fetch(base + path)).json(),
  }
}
