// Invented answers, for work on the page without the program. day.json is the demonstration
// county's day as `nestround morning --json` writes it; all in it is invented.
import { readFileSync } from 'node:fs'

const plan = JSON.parse(readFileSync(new URL('./day.json', import.meta.url), 'utf8'))
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
  'GET /api/work/:id': ({ id }) => works.get(id),
  'DELETE /api/work/:id': () => [204, null],
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
  'GET /api/brood': () => ({ on: '2026-08-04', room: { combs: 12, taken: 8 },
    habitats: [{ name: 'shed, east shelf', combs: [1, 2, 3].map((number) => ({ comb: `c${number}`, words: `old stump, comb ${number}`, species: 'VMAC',
      species_name: 'Vespula maculifrons', due: { p10: 20, p50: 40, p90: 70 }, days: bell(22, 8, 60, 'wasps', '2026-08-01'), collected: [{ on: '2026-08-03', count: 31 }] })) }],
    rounds: [{ on: '2026-08-04', words: 'shed, about 120 wasps (60 to 210)' }, { on: '2026-08-06', words: 'shed, about 140 wasps' }] }),
  'POST /api/collections': ({ body }) => [201, body],
  'GET /api/lots': () => ({ lots: ['V26-0001', 'V26-0002'].map((code) => ({ code, species: 'Vespula maculifrons', mass_g: 120, frozen: '2026-07-30', place: 'chest 1 shelf 2', state: 'sealed' })) }),
  'GET /api/lots/:id/trace': ({ id }) => ({ lot: { code: id, species: 'Vespula maculifrons', mass_g: 120, state: 'sealed' },
    tree: { kind: 'lot', words: id, from: [{ kind: 'catch', words: 'old stump, Thruquunk', grams: 60, from: [{ kind: 'nest', words: 'Vespula maculifrons in the ground' }] }, { kind: 'collection', words: 'shed, east shelf', grams: 60 }] } }),
  'GET /api/freezer': () => ({ species: [{ name: 'Vespula maculifrons', sealed_g: 240, loose_g: 35 }], loose: [] }),
  'GET /api/orders': () => ({ orders: [{ laboratory: 'an invented laboratory', species: 'Vespula maculifrons', wanted_g: 900, at_hand_g: 240, due: '2026-10-01' }] }),
  'GET /api/season': () => ({ grams: { p10: 700, p50: 1100, p90: 1900 }, held: plan.left_out.slice(0, 4).map(({ call }) => ({ call, why: 'still growing' })),
    days: Array.from({ length: 14 }, (_, index) => ({ on: new Date(Date.parse('2026-08-04') + index * 86400000).toISOString().slice(0, 10), grams: 200,
      taken: plan.left_out.slice(index * 3, index * 3 + (index % 6 === 5 ? 0 : 6)).map(({ call }) => ({ call, grams: 20, crew: 'Hill crew' })) })) }),
  'GET /api/traits': () => ({ traits: [{ trait: 'size', words: 'How large', answers: ['small', 'large'] }, { trait: 'colour', words: 'Colour', answers: ['black and yellow', 'black and white', 'brown'] }] }),
  'POST /api/wasp': () => ({ ranked: species.map((one, index) => ({ ...one, share: [0.6, 0.2, 0.15, 0.05][index] })), next: 'colour' }),
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
