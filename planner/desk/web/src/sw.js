// The shell without a network. Code comes from the cache (its names hold hashes), reads come from
// the network and are kept for when there is none; changes are never kept here: the page queues
// them itself, where it can show them.
const version = '__VERSION__'
const shell = ['/', '/icon.svg', '/manifest.webmanifest', '__FILES__']
const shellCache = `shell-${version}`
const readsCache = 'reads'
const readable = [/^\/api\/state$/, /^\/api\/morning$/, /^\/api\/nests/, /^\/api\/calls\//,
  /^\/api\/visits/, /^\/api\/traits$/, /^\/api\/plan$/, /^\/tiles\//]

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(shellCache).then((cache) => cache.addAll(shell))
    .then(() => self.skipWaiting()))
})

self.addEventListener('activate', (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name !== shellCache && name !== readsCache) await caches.delete(name)
    }
    await self.clients.claim()
  })())
})

async function networkFirst(request, cacheName, key) {
  const cache = await caches.open(cacheName)
  try {
    const answer = await fetch(request)
    if (answer.ok) await cache.put(key, answer.clone())
    return answer
  } catch (failure) {
    const kept = await cache.match(key)
    if (kept) return kept
    throw failure
  }
}

self.addEventListener('fetch', (event) => {
  const { request } = event
  const url = new URL(request.url)
  if (request.method !== 'GET' || url.origin !== self.location.origin) return
  if (request.mode === 'navigate') {
    if (url.pathname === '/') event.respondWith(networkFirst(request, shellCache, '/'))
  } else if (url.pathname.startsWith('/assets/')) {
    event.respondWith(caches.match(request).then((kept) => kept || fetch(request)))
  } else if (readable.some((pattern) => pattern.test(url.pathname))) {
    event.respondWith(networkFirst(request, readsCache, url.pathname + url.search))
  }
})
