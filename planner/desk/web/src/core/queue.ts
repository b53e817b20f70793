// What was entered while the program could not be reached, kept in IndexedDB until it was sent.
// Each entry has an id made here; the program takes the same id once only, so sending again after
// a broken answer does no harm.
import { call, Refused, Unreachable } from './api'
import { online, tell, tellFailure, waitingToSend } from './store'

export interface Queued {
  id: string
  path: string
  body: unknown
  at: string
  words: string
  refused?: string
}

const storeName = 'queue'
let opened: Promise<IDBDatabase> | null = null

function database(): Promise<IDBDatabase> {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open('nestround', 1)
    request.onupgradeneeded = () => {
      request.result.createObjectStore(storeName, { keyPath: 'id' })
      request.result.createObjectStore('drafts')
    }
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })
  return opened
}

function run<T>(
  store: string,
  mode: IDBTransactionMode,
  work: (store: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  return database().then(
    (db) =>
      new Promise<T>((resolve, reject) => {
        // On the disk before it counts as kept: a phone's battery may end right after the tap.
        const transaction = db.transaction(store, mode, { durability: 'strict' })
        const request = work(transaction.objectStore(store))
        transaction.oncomplete = () => resolve(request.result)
        transaction.onerror = () => reject(transaction.error)
        transaction.onabort = () => reject(transaction.error)
      }),
  )
}

export const draft = {
  get: <T>(key: string): Promise<T | undefined> =>
    run('drafts', 'readonly', (store) => store.get(key) as IDBRequest<T | undefined>),
  put: (key: string, value: unknown): Promise<unknown> =>
    run('drafts', 'readwrite', (store) => store.put(value, key)),
  drop: (key: string): Promise<unknown> =>
    run('drafts', 'readwrite', (store) => store.delete(key)),
}

export async function queued(): Promise<Queued[]> {
  const all = await run<Queued[]>(storeName, 'readonly', (store) => store.getAll())
  return all.sort((a, b) => (a.at < b.at ? -1 : 1))
}
async function count(): Promise<void> {
  waitingToSend.value = (await queued()).length
}

export type HowFar = 'sent' | 'kept' | 'refused' | 'lost'
/** It is with the program or will be: what was typed may be cleared. */
export const isInHand = (far: HowFar): boolean => far === 'sent' || far === 'kept'

/**
 * Keeps first, then sends: nothing is lost if the page closes in between. `whenKept` is called once
 * the entry is on the disk, and not before. A browser that cannot keep it (full, or a private
 * window) has it sent at once; `lost` means that this failed too, and it was said to the person.
 */
export async function send(entry: Queued, whenKept?: () => void): Promise<HowFar> {
  try {
    await run(storeName, 'readwrite', (store) => store.put(entry))
  } catch {
    return sendUnkept(entry)
  }
  await count()
  whenKept?.()
  await flush()
  const left = (await queued()).find((other) => other.id === entry.id)
  return !left ? 'sent' : left.refused ? 'refused' : 'kept'
}

async function sendUnkept(entry: Queued): Promise<HowFar> {
  try {
    await call(entry.path, { method: 'POST', body: entry.body })
    return 'sent'
  } catch (failure) {
    if (failure instanceof Unreachable) {
      tell(
        `${entry.words}: NOT entered. This browser has no room to keep it and the program cannot be reached; write it down and enter it again`,
        'failed',
      )
    } else tellFailure(failure)
    return failure instanceof Refused ? 'refused' : 'lost'
  }
}

export async function discard(id: string): Promise<void> {
  await run(storeName, 'readwrite', (store) => store.delete(id))
  await count()
}

let flushing: Promise<void> | null = null
let again = false
export function flush(): Promise<void> {
  if (flushing) {
    again = true
    return flushing
  }
  flushing = (async () => {
    do {
      again = false
      for (const entry of await queued()) {
        if (entry.refused) continue
        try {
          await call(entry.path, { method: 'POST', body: entry.body })
          await run(storeName, 'readwrite', (store) => store.delete(entry.id))
          online.value = true
        } catch (failure) {
          if (failure instanceof Unreachable) {
            online.value = false
            return
          }
          if (failure instanceof Refused && failure.status >= 500) return
          const why = failure instanceof Error ? failure.message : String(failure)
          await run(storeName, 'readwrite', (store) => store.put({ ...entry, refused: why }))
          tell(`${entry.words}: ${why}`, 'failed')
        }
      }
    } while (again)
  })().finally(async () => {
    flushing = null
    await count()
  })
  return flushing
}

export function keepSending(): void {
  void count().then(flush)
  window.addEventListener('online', () => void flush())
  setInterval(() => {
    if (waitingToSend.value > 0) void flush()
  }, 5_000)
}

export function newId(): string {
  if (typeof crypto.randomUUID === 'function') return crypto.randomUUID()
  const bytes = crypto.getRandomValues(new Uint8Array(16))
  bytes[6] = (bytes[6]! & 0x0f) | 0x40
  bytes[8] = (bytes[8]! & 0x3f) | 0x80
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('')
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-')
}
