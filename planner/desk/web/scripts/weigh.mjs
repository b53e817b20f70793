// The page's whole weight as it goes over the wire; refuses at 250 kB.
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { gzipSync } from 'node:zlib'

const limit = 250_000
const root = new URL('../dist/', import.meta.url)
let total = 0
function weigh(folder) {
  for (const name of readdirSync(folder)) {
    const path = new URL(name, folder)
    if (statSync(path).isDirectory()) weigh(new URL(`${name}/`, folder))
    else {
      const bytes = gzipSync(readFileSync(path), { level: 9 }).length
      total += bytes
      console.log(`${String(bytes).padStart(8)}  ${path.pathname.split('/dist/')[1]}`)
    }
  }
}
weigh(root)
console.log(`${String(total).padStart(8)}  in all (gzip), limit ${limit}`)
if (total >= limit) {
  console.error('the page is too heavy: find what grew, or load it from nowhere')
  process.exit(1)
}
