// dist/ with the mock's answers and the program's content security policy: node mock/serve.mjs PORT
import { createServer } from 'node:http'
import { readFileSync } from 'node:fs'
import { answer } from './answers.mjs'

const types = { html: 'text/html', js: 'text/javascript', css: 'text/css', svg: 'image/svg+xml', webmanifest: 'application/manifest+json' }
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
createServer((request, response) => answer(request, response, () => {
  const path = new URL(request.url, 'http://127.0.0.1').pathname
  try {
    const name = path === '/' ? 'index.html' : path.slice(1)
    if (name.includes('..')) throw new Error('no')
    const body = readFileSync(new URL(`../dist/${name}`, import.meta.url))
    response.writeHead(200, { 'Content-Type': types[name.split('.').pop()] ?? 'application/octet-stream', 'Content-Security-Policy': policy })
    response.end(body)
  } catch {
    response.writeHead(404).end()
  }
})).listen(Number(process.argv[2] ?? 8790), '127.0.0.1')
