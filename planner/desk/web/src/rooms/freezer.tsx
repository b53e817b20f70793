// What lies in the cold: lots, what laboratories want, where a lot came from, and its label.
import { useEffect } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { get, post, query, Refused } from '../core/api'
import { list, maybe, number, object, range, text, type Json } from '../core/adapt'
import { day, desk, detail, revision, speciesName, tell, tellFailure } from '../core/store'
import { go } from '../core/address'
import { instant, plainDay, shortDay } from '../core/dates'
import { mass, money } from '../core/measure'
import { Bar, Choice, Dialog, Empty, Field } from '../parts/forms'

interface Lot {
  code: string
  species: string
  grams: number | null
  frozen: string
  state: string
  place: string
}
function lotFrom(value: unknown): Lot {
  const lot = object(value)
  return {
    code: text(lot['code']),
    species: text(lot['species_name']) || speciesName(text(lot['species'])),
    grams: maybe(lot['grams']),
    frozen: text(lot['frozen_at']),
    state: lot['withdrawn'] === true ? 'withdrawn' : lot['shipped'] ? `shipped ${plainDay(text(lot['shipped']))}` : lot['sealed_at'] ? 'sealed' : 'not sealed',
    place: text(lot['whereabouts']) || text(object(lot['place'])['words']),
  }
}
interface Knot {
  kind: string
  words: string
  grams: number | null
  from: Knot[]
}
const tail = (key: string): string => key.slice(-6)
/** From a bag back to catches and collections, their visits, nests and calls. */
export function treeOf(trace: Json): Knot {
  const lot = lotFrom(trace['lot'])
  const nests = new Map<string, Knot>()
  for (const entry of list(trace['from'])) {
    const thing = object(entry)
    const key = text(thing['nest'])
    let nest = nests.get(key)
    if (!nest) {
      nest = {
        kind: 'nest', grams: null, from: [],
        words: `${tail(key)}, call ${tail(text(thing['call'])) || 'not known'}${text(thing['received']) ? ` of ${plainDay(text(thing['received']))}` : ''}${thing['insecticide'] === true ? '; insecticide was used there' : ''}`,
      }
      nests.set(key, nest)
    }
    const taken = maybe(thing['grams_in_lots'])
    const whole = maybe(thing['grams'])
    nest.from.push({
      kind: text(thing['kind']), grams: whole, from: [],
      words: `${instant(text(thing['at']))}${thing['comb'] ? `, from comb ${tail(text(thing['comb']))}` : ''}, visit of ${plainDay(text(thing['visited']))}${taken !== null && whole !== null && taken < whole ? `; ${mass(taken)} of it in lots` : ''}`,
    })
  }
  return { kind: 'lot', words: `${lot.code}, ${lot.species}`, grams: lot.grams, from: [...nests.values()] }
}
interface Told {
  at: string
  words: string
}
export function storyOf(trace: Json): Told[] {
  const lot = object(trace['lot'])
  const shipment = object(trace['shipment'])
  const told: Told[] = [
    { at: text(lot['frozen_at']), words: 'frozen' },
    { at: text(lot['sealed_at']), words: `sealed by ${text(lot['sealed_by']) || 'nobody named'}` },
    ...list(trace['moves']).map(object).map((one) => ({ at: text(one['at']), words: `put into ${text(object(one['place'])['words'])} by ${text(one['who'])} ${text(one['note'])}` })),
    ...list(trace['corrections']).map(object).map((one) => ({ at: text(one['at']), words: `${text(one['field'])}: ${text(one['was']) || 'nothing'} put right to ${text(one['becomes']) || 'nothing'} by ${text(one['who'])}: ${text(one['why'])}` })),
    ...list(trace['excursions']).map(object).map((one) => ({ at: text(one['began']), words: `warm: up to ${number(one['warmest_c']).toFixed(1)} °C (${(number(one['warmest_c']) * 1.8 + 32).toFixed(0)} °F), until ${instant(text(one['ended']))}` })),
    ...(trace['shipment'] ? [{ at: text(shipment['shipped']), words: `shipped ${text(shipment['carrier'])} ${text(shipment['tracking'])}` }] : []),
  ]
  return told.filter((one) => one.at).sort((a, b) => (a.at < b.at ? -1 : 1))
}

/** A tree of where a lot came from; every knot is words. */
function Branch(props: { knot: Knot }) {
  const { knot } = props
  return (
    <li>
      <span class="knot"><em>{knot.kind}</em> {knot.words}{knot.grams !== null && <b> {mass(knot.grams)}</b>}</span>
      {knot.from.length > 0 && <ul>{knot.from.map((child, index) => <Branch key={index} knot={child} />)}</ul>}
    </li>
  )
}

function LotSheet(props: { code: string }) {
  const answer = useSignal<Json | null>(null)
  useEffect(() => {
    answer.value = null
    get<unknown>(`/api/lots/${encodeURIComponent(props.code)}/trace`).then((value) => (answer.value = object(value)))
      .catch((failure) => { answer.value = {}; tellFailure(failure) })
  }, [props.code, revision.value])
  const label = `/api/lots/${encodeURIComponent(props.code)}/label.pdf`
  const trace = answer.value
  const lot = lotFrom(trace?.['lot'])
  const story = trace ? storyOf(trace) : []
  return (
    <article class="lot-sheet" data-testid="lot">
      <button type="button" class="link back" onClick={() => go('freezer')}>‹ all lots</button>
      <header class="sheet-head"><h1 class="code">{props.code}<small><i>{lot.species}</i>{lot.grams !== null && `, ${mass(lot.grams)}`}{lot.state && `, ${lot.state}`}</small></h1>
        <a class="button main" href={label} target="_blank" rel="noopener" data-testid="label">Label to print</a></header>
      {!trace && <p class="loading" role="status">following the lot</p>}
      {(lot.frozen || lot.place) && <p class="facts">{lot.frozen && `frozen ${lot.frozen.length > 10 ? instant(lot.frozen) : shortDay(lot.frozen)}`}{lot.place && `; lies in ${lot.place}`}</p>}
      {trace?.['lot'] ? <section><h2>Where it came from</h2><ul class="tree" data-testid="tree"><Branch knot={treeOf(trace)} /></ul></section> : null}
      {story.length > 0 && <section><h2>What happened to it</h2><ol class="steps-told">{story.map((one, index) => <li key={index}><time>{one.at.length > 10 ? instant(one.at) : plainDay(one.at)}</time> {one.words}</li>)}</ol></section>}
    </article>
  )
}

function Seal(props: { loose: Json[]; onClose: () => void }) {
  const picked = useSignal<string[]>([])
  const method = useSignal('dry_ice')
  const place = useSignal({ freezer: '', shelf: '', box: '' })
  const grams = useSignal('')
  const calls = useSignal('')
  const wrong = useSignal('')
  const seal = async (): Promise<void> => {
    try {
      const net = grams.value.trim() ? Number(grams.value.replace(',', '.')) : undefined
      if (net !== undefined && !(net > 0)) {
        wrong.value = 'grams: a number above nothing'
        return
      }
      if (!picked.value.length && !calls.value.trim()) {
        wrong.value = 'say what goes in: mark it above, or name its calls'
        return
      }
      if (!place.value.freezer.trim()) {
        wrong.value = 'say in which freezer it lies'
        return
      }
      const answer = await post<Json>('/api/lots', {
        catches: picked.value.filter((id) => id.startsWith('catch ')).map((id) => id.slice(6)),
        collections: picked.value.filter((id) => id.startsWith('collection ')).map((id) => id.slice(11)),
        calls: calls.value.split(/[\s,]+/).filter(Boolean),
        ...(net !== undefined ? { grams: net } : {}),
        method: method.value,
        ...place.value,
      })
      revision.value++
      tell(`sealed: ${text(answer['code'])}`)
      go('freezer', text(answer['code']))
      props.onClose()
    } catch (failure) {
      if (failure instanceof Refused) wrong.value = failure.message
      else tellFailure(failure)
    }
  }
  return (
    <Dialog title="Seal a lot" onClose={props.onClose}>
      <form onSubmit={(event) => { event.preventDefault(); void seal() }}>
        {props.loose.length > 0 && <fieldset class="loose"><legend>What goes in</legend>
          {[...props.loose].sort((a, b) => text(b['at']).localeCompare(text(a['at']))).map((one) => {
            const id = `${text(one['kind'])} ${text(one['id'])}`
            const free = maybe(one['grams']) === null ? null : number(one['grams']) - number(one['grams_in_lots'])
            return <label class="tick" key={id}><input type="checkbox" checked={picked.value.includes(id)} onChange={(event) => {
              picked.value = event.currentTarget.checked ? [...picked.value, id] : picked.value.filter((other) => other !== id)
            }} /><span><i>{speciesName(text(one['species']))}</i>, {text(one['kind'])} of {instant(text(one['at']))}{free !== null && `, ${mass(free)}`}{maybe(one['count']) !== null && `, ${number(one['count'])} wasps`}</span></label>
          })}</fieldset>}
        <Field label="all that is loose of these calls" value={calls.value} onInput={(value) => (calls.value = value)} hint="ends of call keys" />
        <div class="two-columns">
          <Field label="net grams" value={grams.value} onInput={(value) => (grams.value = value)} inputMode="decimal" hint="empty: the sum of what went in" />
          <Choice label="frozen by" value={method.value} onChange={(value) => (method.value = value)} options={[['dry_ice', 'dry ice'], ['freezer', 'freezer'], ['other', 'another way'], ['unknown', 'not known']]} />
          {(['freezer', 'shelf', 'box'] as const).map((name) => <Field key={name} label={name} value={place.value[name]} onInput={(value) => (place.value = { ...place.value, [name]: value })} />)}
        </div>
        {wrong.value && <p class="hint wrong" role="alert">{wrong.value}</p>}
        <footer><button type="button" onClick={props.onClose}>Cancel</button><button type="submit" class="main">Seal</button></footer>
      </form>
    </Dialog>
  )
}

export function Freezer() {
  const lots = useSignal<Lot[] | null>(null)
  const stock = useSignal<Json>({})
  const orders = useSignal<Json[]>([])
  const inStock = useSignal<Json>({})
  const sealing = useSignal(false)
  const search = useSignal('')
  useEffect(() => {
    const stop = new AbortController()
    const kept = (failure: unknown): void => tellFailure(failure)
    get<unknown>('/api/lots', stop.signal).then((value) => (lots.value = list(object(value)['lots'] ?? value).map(lotFrom))).catch((failure) => { lots.value ??= []; kept(failure) })
    get<unknown>('/api/freezer' + query({ on: day.value }), stop.signal).then((value) => (stock.value = object(value))).catch(kept)
    get<unknown>('/api/orders' + query({ on: day.value, laboratories: 'yes' }), stop.signal).then((value) => {
      orders.value = list(object(value)['orders']).map(object)
      inStock.value = object(object(value)['stock'])
    }).catch(kept)
    return () => stop.abort()
  }, [day.value, revision.value])
  if (detail.value) return <LotSheet key={detail.value} code={detail.value} />
  const wanted = search.value.trim().toLowerCase()
  const shown = (lots.value ?? []).filter((lot) => !wanted || `${lot.code} ${lot.species} ${lot.place} ${lot.state}`.toLowerCase().includes(wanted)).reverse()
  const loose = list(stock.value['loose']).map(object)
  const kinds = Object.entries(inStock.value).map(([code, value]) => ({ code, ...object(value) }) as Json)
  return (
    <>
      <header class="sheet-head"><h1>Freezer<small>{shown.length === 1 ? '1 lot' : `${shown.length} lots`}</small></h1><button type="button" class="main" onClick={() => (sealing.value = true)}>Seal a lot</button></header>
      {kinds.length > 0 && <ul class="stock">{kinds.map((kind) => {
        const brood = range(kind['from_brood_g'])
        return (
          <li key={text(kind['code'])}><b>{mass(number(kind['venom_g']) + number(kind['other_g']))}</b><i>{speciesName(text(kind['code']))}</i>
            <small>sealed{number(kind['loose_g']) > 0 && `, ${mass(number(kind['loose_g']))} loose`}{brood.p50 >= 1 && `, about ${mass(brood.p50)} to come from comb`}</small></li>
        )
      })}</ul>}
      {orders.value.length > 0 && (
        <section><h2>Orders</h2>
          <ul class="orders">
            {orders.value.map((order, index) => {
              const want = number(order['wanted_g'])
              const have = number(order['shipped_g']) + number(order['ready_g'])
              const coming = range(order['expected_g'])
              return (
                <li key={index}>
                  <p><b>{text(order['laboratory'])}</b> <i>{speciesName(text(order['species']))}</i>{text(order['due']) && <span>by {plainDay(text(order['due']))}</span>}
                    {maybe(order['price_minor']) !== null && <span>{money(number(order['price_minor']), desk.value?.currency)} a gram</span>}</p>
                  <Bar share={want ? have / want : 0} label={`${mass(have)} of ${mass(want)}`} />
                  <small>{mass(have)} of {mass(want)} sent or ready{number(order['loose_g']) > 0 && `, ${mass(number(order['loose_g']))} loose`}{coming.p50 >= 1 && `, about ${mass(coming.p50)} expected`}; {mass(number(order['missing_g']))} missing</small>
                </li>
              )
            })}
          </ul>
        </section>
      )}
      <div class="list-head"><Field label="Find a lot" value={search.value} onInput={(value) => (search.value = value)} /></div>
      {!lots.value && <p class="loading" role="status">reading the lots</p>}
      {lots.value && !shown.length && <Empty>{wanted ? 'No lot of that name.' : 'No lot is sealed yet.'}</Empty>}
      {shown.length > 0 && (
        <table class="lots" data-testid="lots">
          <thead><tr><th scope="col">code</th><th scope="col">wasp</th><th scope="col">mass</th><th scope="col">frozen</th><th scope="col">where</th></tr></thead>
          <tbody>{shown.map((lot) => (
            <tr key={lot.code}>
              <td><button type="button" class="link code" onClick={() => go('freezer', lot.code)}>{lot.code}</button></td>
              <td><i>{lot.species}</i></td><td class="figure">{lot.grams === null ? '' : mass(lot.grams)}</td>
              <td>{lot.frozen && plainDay(lot.frozen)}</td><td>{lot.place || lot.state}</td>
            </tr>
          ))}</tbody>
        </table>
      )}
      {sealing.value && <Seal loose={loose} onClose={() => (sealing.value = false)} />}
    </>
  )
}
