// The one door to the program: session header, person, errors with the field they are about.
import { person } from './store'

export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly code: string,
    message: string,
    readonly field: string,
    readonly body: unknown,
  ) {
    super(message)
  }
}

/** The program could not be reached at all: what was to be sent may be kept and sent later. */
export class Unreachable extends Error {
  constructor() {
    super('the program cannot be reached')
  }
}

let session =
  typeof document === 'undefined'
    ? ''
    : (document.querySelector<HTMLMetaElement>('meta[name="nestround-session"]')?.content ?? '')

/** A page kept from an earlier run holds that run's token; the program gives the present one. */
async function renewSession(): Promise<boolean> {
  const page = await fetch('/', { cache: 'no-store', headers: { Accept: 'text/html' } })
  const parsed = new DOMParser().parseFromString(await page.text(), 'text/html')
  const fresh = parsed.querySelector<HTMLMetaElement>('meta[name="nestround-session"]')?.content
  if (!fresh || fresh === session) return false
  session = fresh
  return true
}

export interface Answered<T> {
  body: T
  etag: string | null
  status: number
}

export interface Asked {
  method?: 'GET' | 'POST' | 'PATCH' | 'DELETE'
  body?: unknown
  headers?: Record<string, string>
  signal?: AbortSignal
}

async function ask(path: string, asked: Asked): Promise<Response> {
  const headers: Record<string, string> = { Accept: 'application/json', ...asked.headers }
  const method = asked.method ?? 'GET'
  if (method !== 'GET') headers['Nestround-Session'] = session
  if (person.value) headers['Nestround-Person'] = encodeURIComponent(person.value)
  let body: BodyInit | undefined
  if (asked.body instanceof Blob) {
    body = asked.body
    headers['Content-Type'] ??= asked.body.type
  } else if (asked.body !== undefined) {
    body = JSON.stringify(asked.body)
    headers['Content-Type'] = 'application/json'
  }
  const options: RequestInit = { method, headers, credentials: 'same-origin' }
  if (body !== undefined) options.body = body
  if (asked.signal) options.signal = asked.signal
  try {
    return await fetch(path, options)
  } catch (failure) {
    if (failure instanceof DOMException && failure.name === 'AbortError') throw failure
    throw new Unreachable()
  }
}

export async function call<T>(path: string, asked: Asked = {}): Promise<Answered<T>> {
  let answer = await ask(path, asked)
  if (answer.status === 403 && asked.method && asked.method !== 'GET') {
    if (await renewSession().catch(() => false)) answer = await ask(path, asked)
  }
  const text = await answer.text()
  let body: unknown = null
  try {
    body = text ? JSON.parse(text) : null
  } catch {
    body = text
  }
  if (!answer.ok) {
    const error = (body as { error?: { code?: string; message?: string; field?: string } } | null)
      ?.error
    throw new Refused(
      answer.status,
      error?.code ?? String(answer.status),
      error?.message ?? `the program answered ${answer.status} for ${path}`,
      error?.field ?? '',
      body,
    )
  }
  return { body: body as T, etag: answer.headers.get('ETag'), status: answer.status }
}

export async function get<T>(path: string, signal?: AbortSignal): Promise<T> {
  return (await call<T>(path, signal ? { signal } : {})).body
}

export async function post<T>(path: string, body: unknown): Promise<T> {
  return (await call<T>(path, { method: 'POST', body })).body
}

export function query(values: Record<string, string | number | undefined>): string {
  const pairs = Object.entries(values).filter(([, value]) => value !== undefined && value !== '')
  return pairs.length
    ? '?' + pairs.map(([key, value]) => `${key}=${encodeURIComponent(String(value))}`).join('&')
    : ''
}
