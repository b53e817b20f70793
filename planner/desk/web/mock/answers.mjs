// Invented answers, for work on the page without the program. day.json is the demonstration
// county's day as `nestround morning --json` writes it; all in it is invented.
import { readFileSync } from 'node:fs'

const plan = JSON.parse(readFileSync(new URL('./day.json', import.meta.url), 'utf8'))
const brood = JSON.parse(readFileSync(new URL('./brood.json', import.meta.url), 'utf8'))
const lotOf = (code) => ({ code, species: 'VMAC', species_name: 'Vespula maculifrons', grams: 120, frozen_at: '2026-07-30T16:00:00Z', sealed_at: '2026-07-30T17:00:00Z',
  sealed_by: 'Ada', place: { words: 'freezer chest 1 shelf 2' }, whereabouts: 'freezer chest 1 shelf 2', withdrawn: false, shipped: null })
const calls = new Map()
for (const crew of plan.crews) for (const stop of crew.stops) calls.set(stop.call.call_id, stop.call)
for (const left of plan.left_out) calls.set(left.call.call_id, left.call)
const edits = new Map()
const visits = new Map()
const works = new Map()
const listeners = new Set()
const species = [
  { code: 'VMAC', name: 'Vespula maculifrons', common: 'eastern yellowjacket' },
  { code: 'VGER', name: 'Vespula germanica', common: 'German yellowjacket' },
  { code: 'DMAC', name: 'Dolichovespula maculata', common: 'bald-faced hornet' },
  { code: 'VCRA', name: 'Vespa crabro', common: 'European hornet' },
]
let revision = 1

function tell(type, data) {
  for (const response of listeners) response.write(`event: ${type}\ndata: ${JSON.stringify(data)}\n\n`)
}
function waitingRow(call) {
  const outlook = call.outlook
  return { call: call.call_id, key: call.call_key, site_name: call.label, species: outlook.taxon,
    species_name: outlook.taxon_name, stage: outlook.stage, score: call.score, lon: call.place.lon_deg,
    lat: call.place.lat_deg, forecast: outlook, why: call.reasons, allergic: call.allergic,
    must: call.must_take, nest_kind: call.nest.kind, height_m: call.nest.height_m, allowed: call.allowed,
    received: call.received, not_after: call.not_after }
}
function record(id) {
  const call = calls.get(id)
  return call && { call: id, key: call.call_key, site_name: call.label, species: call.outlook.taxon_name,
    height_m: call.nest.height_m, entrance: call.nest.entrance, not_before: null,
    not_after: call.not_after, allowed: call.allowed, must_take: call.must_take,
    allergic: call.allergic, near_door: false, note: '', history: [], photos: [],
    ...edits.get(id)?.fields }
}
function bell(days, peak, top, name, from) {
  return Array.from({ length: days }, (_, index) => {
    const on = new Date(Date.parse(from) + index * 86400000).toISOString().slice(0, 10)
    const p50 = top * Math.exp(-(((index - peak) / (days / 5)) ** 2))
    return { on, [name]: { p10: p50 * 0.5, p50, p90: p50 * 1.7 } }
  })
}
function solved(wishes) {
  const result = structuredClone(plan)
  for (const crew of result.crews) {
    for (const stop of crew.stops.filter((one) => wishes.never.includes(one.call.call_id))) {
      result.left_out.unshift({ reason: 'it was wished out', call: stop.call })
    }
    crew.stops = crew.stops.filter((stop) => !wishes.never.includes(stop.call.call_id))
    crew.stops.forEach((stop, index) => (stop.stop = index + 1))
  }
  return result
}

const routes = {
  'GET /api/state': () => ({ book: 'demo.gpkg', revision, on: '2026-08-04', version: 'mock', measures: 'us_customary',
    currency: 'USD', region: plan.region, place: { lon: -76.95, lat: 41.23 }, extent: [-77.3, 41.05, -76.7, 41.42],
    attribution: plan.road_attribution, has_roads: false, has_places: true, crews: plan.crews.map(({ name }) => ({ name })),
    species, people: ['Ada', 'Ben'] }),
  'GET /api/morning': () => ({ on: plan.day, waiting: [...calls.values()].map(waitingRow), cautions: plan.cautions }),
  'POST /api/morning/plan': ({ body }) => {
    const work = String(works.size + 1)
    works.set(work, { state: 'finished', share: 1, words: '', result: solved(body) })
    return [202, { work }]
  },
  'GET /api/works/:id': ({ id }) => works.get(id),
  'DELETE /api/works/:id': () => [204, null],
  'GET /api/calls/:id': ({ id }) => {
    const found = record(id)
    return found ? [200, found, `"${edits.get(id)?.version ?? 0}"`] : [404, { error: { code: 'no_such_call', message: 'no such call', field: 'id' } }]
  },
  'PATCH /api/calls/:id': ({ id, body, headers, person }) => {
    const version = edits.get(id)?.version ?? 0
    if (headers['if-match'] !== `"${version}"`) return [412, { error: { code: 'changed_meanwhile', message: 'the call was changed meanwhile', field: '' }, by: edits.get(id)?.by, present: record(id) }]
    edits.set(id, { version: version + 1, by: person, fields: { ...edits.get(id)?.fields, ...body } })
    tell('changed', { revision: ++revision, kind: 'call', id, by: person })
    return [200, record(id), `"${version + 1}"`]
  },
  'POST /api/calls': ({ person }) => {
    tell('changed', { revision: ++revision, kind: 'call', id: 'new', by: person })
    return [201, { call: 'new' }]
  },
  'GET /api/calls/:id/hold': () => ({ days: bell(40, 22, 60, 'grams', '2026-08-04') }),
  'GET /api/curve/:id': () => ({ days: bell(200, 120, 2500, 'workers', '2026-04-15') }),
  'GET /api/visits/:id': ({ id }) => ({ call: id, steps: visits.get(id) ?? [] }),
  'POST /api/visits/:id/steps': ({ id, body }) => {
    const steps = visits.get(id) ?? []
    if (!steps.some((step) => step.step_id === body.step_id)) steps.push(body)
    visits.set(id, steps)
    return [201, body]
  },
  'GET /api/brood': () => brood,
  'POST /api/collections': ({ body }) => [201, body],
  'GET /api/lots': () => ({ lots: ['V26-0001', 'V26-0002'].map(lotOf) }),
  'GET /api/lots/:id/trace': ({ id }) => ({ lot: lotOf(id), moves: [], corrections: [], excursions: [], shipment: null,
    from: [{ kind: 'catch', id: 'a1b2c3d4', species: 'VMAC', grams: 60, grams_in_lots: 60, at: '2026-07-30T15:00:00Z', visited: '2026-07-30T14:00:00Z', nest: '0f3a2b1c', call: '9f8e7d6c', received: '2026-07-20', insecticide: false },
      { kind: 'collection', id: 'b1b2c3d4', comb: 'c0ffee11', species: 'VMAC', grams: 80, grams_in_lots: 60, at: '2026-08-02T15:00:00Z', visited: '2026-07-30T14:00:00Z', nest: '0f3a2b1c', call: '9f8e7d6c', received: '2026-07-20', insecticide: false }] }),
  'GET /api/freezer': () => ({ places: [], loose: [{ kind: 'catch', id: 'a1b2c3d4', species: 'VMAC', grams: 35, grams_in_lots: 0, count: 900, at: '2026-08-03T15:00:00Z' }] }),
  'GET /api/orders': () => ({ orders: [{ laboratory: 'an invented laboratory', species: 'VMAC', wanted_g: 900, shipped_g: 0, ready_g: 240, loose_g: 35, missing_g: 660, expected_g: { p10: 50, p50: 120, p90: 240 }, due: '2026-10-01' }],
    stock: { VMAC: { venom_g: 240, other_g: 0, loose_g: 35, from_brood_g: { p10: 50, p50: 120, p90: 240 } } } }),
  'GET /api/season': ({ query }) => ({ from: query.get('from'), to: query.get('to'), notes: ['invented'],
    grams: [{ taxon: 'VMAC', waiting_p10: 300, waiting_p50: 500, waiting_p90: 900, expected_p10: 80, expected_p50: 160, expected_p90: 300, wanted: 900 }],
    calls: plan.left_out.slice(40).map(({ call }) => ({ call_id: call.call_id, label: call.label, day: null, crew: null, words: 'still growing: would give more in two weeks' })),
    tours: Array.from({ length: 14 }, (_, index) => ({ day: new Date(Date.parse(query.get('from')) + index * 86400000).toISOString().slice(0, 10), crew: 'Hill crew',
      visits: plan.left_out.slice(index * 3, index * 3 + (index % 6 === 5 ? 0 : 6)).map(({ call }, at) => ({ call_id: at === 4 ? null : call.call_id, label: call.label, begin: '09:00' })) })) }),
  'GET /api/traits': () => ({ traits: [{ trait: 'size', question: 'How large is it?', answers: ['small', 'large'] }, { trait: 'colour', question: 'What colour is it?', answers: ['black and yellow', 'black and white', 'brown'] }] }),
  'POST /api/wasp': () => ({ ranked: species.map((one, index) => ({ ...one, chance: [0.6, 0.2, 0.15, 0.05][index] })), look_next: [{ trait: 'colour' }] }),
  'GET /api/places': ({ query }) => ({ places: [1, 2, 3].map((number) => ({ shown: `${number} Mill Lane (${query.get('q')})`, how: 'house', lon: -76.9 - number / 100, lat: 41.2, uncertainty_m: 15 })) }),
  'POST /api/photos': () => [201, { id: 'p1', lon: -76.9, lat: 41.25, taken: '2026-08-03T17:05:00Z' }],
  'POST /api/undo': () => [409, { error: { code: 'nothing', message: 'nothing of yours to take back', field: '' } }],
  'GET /api/density.geojson': () => ({ type: 'FeatureCollection', features: [] }),
}
const table = Object.entries(routes).map(([name, handler]) => {
  const [method, path] = name.split(' ')
  return { method, pattern: new RegExp(`^${path.replace(/:id/g, '([^/]+)')}$`), handler }
})

export function answer(request, response, next) {
  const url = new URL(request.url, 'http://127.0.0.1')
  if (url.pathname === '/api/events') {
    response.writeHead(200, { 'Content-Type': 'text/event-stream', 'Cache-Control': 'no-store' })
    response.write('retry: 1000\n\n')
    listeners.add(response)
    request.on('close', () => listeners.delete(response))
    return
  }
  const found = table.find(({ method, pattern }) => method === request.method && pattern.test(url.pathname))
  if (!found) return next()
  const pieces = []
  request.on('data', (piece) => pieces.push(piece))
  request.on('end', () => {
    const bytes = Buffer.concat(pieces)
    const isJson = (request.headers['content-type'] ?? '').includes('json')
    const result = found.handler({ id: decodeURIComponent(found.pattern.exec(url.pathname)[1] ?? ''), query: url.searchParams,
      headers: request.headers, person: decodeURIComponent(request.headers['nestround-person'] ?? ''), body: isJson && bytes.length ? JSON.parse(bytes) : {} })
    const [status, body, etag] = Array.isArray(result) ? result : [result ? 200 : 404, result]
    response.writeHead(status, { 'Content-Type': 'application/json', ...(etag ? { ETag: etag } : {}) })
    response.end(body === null ? '' : JSON.stringify(body))
  })
}
