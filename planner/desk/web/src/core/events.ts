// The program's events: what changed, by whom, and how long work gets on. Connects again by itself.
import { desk, online, person, revision, tell } from './store'
import { flush } from './queue'

export interface Progress {
  work: string
  share: number
  words: string
}
type Listener = (event: { type: string; data: Record<string, unknown> }) => void
const listeners = new Set<Listener>()
export function listen(listener: Listener): () => void {
  listeners.add(listener)
  return () => listeners.delete(listener)
}

let source: EventSource | null = null
let wait = 500

export function connect(): void {
  source?.close()
  source = new EventSource('/api/events')
  source.onopen = () => {
    wait = 500
    if (!online.value) {
      online.value = true
      revision.value++
    }
    void flush()
  }
  source.onerror = () => {
    source?.close()
    online.value = false
    setTimeout(connect, wait)
    wait = Math.min(wait * 2, 8_000)
  }
  for (const type of ['changed', 'progress', 'finished', 'failed']) {
    source.addEventListener(type, (event) => {
      let data: Record<string, unknown> = {}
      try {
        data = JSON.parse((event as MessageEvent<string>).data) as Record<string, unknown>
      } catch {
        return
      }
      if (type === 'changed') {
        const by = String(data['by'] ?? '')
        const kind = String(data['kind'] ?? 'the book')
        if (by && by !== person.value) tell(`${by} changed ${kind.replaceAll('_', ' ')}`)
        revision.value++
        if (desk.value) desk.value = { ...desk.value, revision: Number(data['revision'] ?? 0) }
      }
      for (const listener of [...listeners]) listener({ type, data })
    })
  }
}

/** Follows a piece of long work to its end; the events tell, and a question every second besides. */
export async function follow<T>(
  work: string,
  ask: () => Promise<{ state: string; share?: number; words?: string; result?: T; error?: unknown }>,
  onProgress: (progress: Progress) => void,
  signal: AbortSignal,
): Promise<T> {
  let wake: () => void = () => {}
  const stop = listen(({ type, data }) => {
    if (data['work'] !== work) return
    if (type === 'progress') {
      onProgress({ work, share: Number(data['share'] ?? 0), words: String(data['words'] ?? '') })
    } else if (type !== 'changed') wake()
  })
  const ended = (): void => wake()
  signal.addEventListener('abort', ended)
  try {
    for (let delay = 60; ; delay = Math.min(delay * 1.6, 1_000)) {
      signal.throwIfAborted()
      const answer = await ask()
      if (answer.state === 'finished' || answer.state === 'done') return answer.result as T
      if (answer.state === 'failed') {
        const error = answer.error as { message?: string } | string | undefined
        throw new Error(typeof error === 'string' ? error : (error?.message ?? 'the work failed'))
      }
      if (answer.state === 'cancelled') throw new DOMException('cancelled', 'AbortError')
      onProgress({ work, share: answer.share ?? 0, words: answer.words ?? '' })
      await new Promise<void>((resolve) => {
        wake = resolve
        setTimeout(resolve, delay)
      })
    }
  } finally {
    stop()
    signal.removeEventListener('abort', ended)
  }
}
