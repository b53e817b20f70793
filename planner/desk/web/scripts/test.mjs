// Bundles test/*.test.ts with the bundler that Vite brings, and runs them with node's own runner.
import { spawnSync } from 'node:child_process'
import { readdirSync, rmSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'

const here = fileURLToPath(new URL('..', import.meta.url))
const out = `${here}.tests`
rmSync(out, { recursive: true, force: true })
const entryPoints = readdirSync(`${here}test`).filter((name) => name.endsWith('.test.ts'))
  .map((name) => `${here}test/${name}`)
await build({ entryPoints, outdir: out, bundle: true, platform: 'node', format: 'esm',
  target: 'node18', outExtension: { '.js': '.mjs' }, jsx: 'automatic', jsxImportSource: 'preact',
  logLevel: 'warning' })
const files = readdirSync(out).map((name) => `${out}/${name}`)
process.exit(spawnSync(process.execPath, ['--test', ...files], { stdio: 'inherit' }).status ?? 1)
