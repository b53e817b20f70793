import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { defineConfig, type Plugin } from 'vite'

/** sw.js with the list of the shell's files and a version that moves when one of them does. */
function serviceWorker(): Plugin {
  return {
    name: 'service-worker',
    apply: 'build',
    generateBundle(_options, bundle) {
      const files = Object.keys(bundle).filter((name) => name.startsWith('assets/')).sort()
      const version = createHash('sha256').update(files.join('\n')).digest('hex').slice(0, 12)
      const source = readFileSync(new URL('./src/sw.js', import.meta.url), 'utf8')
        .replace('__VERSION__', version)
        .replace("'__FILES__'", files.map((name) => `'/${name}'`).join(', '))
      this.emitFile({ type: 'asset', fileName: 'sw.js', source })
    },
  }
}

/** The mock's answers, for `npm run mock`, or the real program's when NESTROUND_DESK names it. */
const program = process.env['NESTROUND_DESK']
function mock(): Plugin {
  return {
    name: 'mock',
    apply: 'serve',
    async configureServer(server) {
      if (program) return
      const { answer } = (await import(new URL('./mock/answers.mjs', import.meta.url).href)) as {
        answer: Parameters<typeof server.middlewares.use>[0]
      }
      server.middlewares.use(answer)
    },
  }
}

export default defineConfig({
  plugins: [serviceWorker(), mock()],
  esbuild: { jsx: 'automatic', jsxImportSource: 'preact' },
  server: { proxy: program ? { '/api': program, '/tiles': program } : undefined },
  build: {
    target: 'es2020',
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
    reportCompressedSize: false,
    chunkSizeWarningLimit: 900,
  },
})
