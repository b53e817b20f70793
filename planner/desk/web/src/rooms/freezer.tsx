// What lies in the cold: lots, what laboratories want, where a lot came from, and its label.
import { useEffect } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { get, post, query, Refused } from '../core/api'
import { list, maybe, number, object, text, texts, type Json } from '../core/adapt'
import { day, desk, detail, revision, tell, tellFailure } from '../core/store'
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
  const place = lot['place']
  return {
    code: text(lot['code'] ?? lot['lot']),
    species: text(lot['species_name'] ?? lot['taxon_name'] ?? lot['species'] ?? lot['taxon']),
    grams: maybe(lot['mass_g'] ?? lot['grams'] ?? lot['net_g']),
    frozen: text(lot['frozen'] ?? lot['frozen_at']),
    state: text(lot['state'] ?? lot['status']),
    place: typeof place === 'string' ? place : Object.values(object(place)).map(text).filter(Boolean).join(' '),
  }
}

/** A tree of where a lot came from; every knot is words. */
function Branch(props: { knot: Json }) {
  const { knot } = props
  const kind = text(knot['kind'])
  const words = text(knot['words'] ?? knot['label'] ?? knot['name']) || text(knot['key'] ?? knot['id'])
  const grams = maybe(knot['grams'] ?? knot['mass_g'])
  const children = list(knot['from'] ?? knot['children'] ?? knot['ancestors']).map(object)
  return (
    <li>
      <span class={`knot ${kind}`}>{kind && <em>{kind.replaceAll('_', ' ')}</em>} {words}{grams !== null && <b> {mass(grams)}</b>}</span>
      {children.length > 0 && <ul>{children.map((child, index) => <Branch key={index} knot={child} />)}</ul>}
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
  const lot = lotFrom(trace?.['lot'] && typeof trace['lot'] === 'object' ? trace['lot'] : trace)
  const roots = list(trace?.['tree'] ?? trace?.['ancestors'] ?? trace?.['from']).map(object)
  const tree = trace?.['tree'] && !Array.isArray(trace['tree']) ? [object(trace['tree'])] : roots
  const steps = list(trace?.['steps'] ?? trace?.['story'] ?? trace?.['history'])
  return (
    <article class="lot-sheet" data-testid="lot">
      <button type="button" class="link back" onClick={() => go('freezer')}>‹ all lots</button>
      <header class="sheet-head"><h1 class="code">{props.code}<small><i>{lot.species}</i>{lot.grams !== null && `, ${mass(lot.grams)}`}{lot.state && `, ${lot.state}`}</small></h1>
        <a class="button main" href={label} target="_blank" rel="noopener" data-testid="label">Label to print</a></header>
      {!trace && <p class="loading" role="status">following the lot</p>}
      {(lot.frozen || lot.place) && <p class="facts">{lot.frozen && `frozen ${lot.frozen.length > 10 ? instant(lot.frozen) : shortDay(lot.frozen)}`}{lot.place && `; lies in ${lot.place}`}</p>}
      {tree.length > 0 && <section><h2>Where it came from</h2><ul class="tree" data-testid="tree">{tree.map((knot, index) => <Branch key={index} knot={knot} />)}</ul></section>}
      {steps.length > 0 && <section><h2>What happened to it</h2><ol class="steps-told">{steps.map((step, index) => {
        const one = object(step)
        return <li key={index}>{typeof step === 'string' ? step : <><time>{instant(text(one['at'] ?? one['when']))}</time> {text(one['words'] ?? one['what'])} {text(one['by'] ?? one['who'])}</>}</li>
      })}</ol></section>}
      {texts(trace?.['notes']).map((note) => <p class="hint" key={note}>{note}</p>)}
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
      const answer = await post<Json>('/api/lots', {
        catches: picked.value.filter((id) => id.startsWith('catch ')).map((id) => id.slice(6)),
        collections: picked.value.filter((id) => id.startsWith('collection ')).map((id) => id.slice(11)),
        calls: calls.value.split(/[\s,]+/).filter(Boolean),
        ...(net !== undefined ? { mass_g: net } : {}),
        method: method.value,
        place: place.value,
      })
      revision.value++
      tell(`sealed: ${text(answer['code'] ?? object(answer['lot'])['code'])}`)
      props.onClose()
    } catch (failure) {
      if (failure instanceof Refused) wrong.value = failure.message
      else tellFailure(failure)
    }
  }
  return (
    <Dialog title="Seal a lot" onClose={props.onClose}>
      <form onSubmit={(event) => { event.preventDefault(); void seal() }}>
        {props.loose.length > 0 && <fieldset><legend>What goes in</legend>
          {props.loose.map((one) => {
            const id = `${text(one['kind']) || 'catch'} ${text(one['key'] ?? one['id'])}`
            return <label class="tick" key={id}><input type="checkbox" checked={picked.value.includes(id)} onChange={(event) => {
              picked.value = event.currentTarget.checked ? [...picked.value, id] : picked.value.filter((other) => other !== id)
            }} /><span>{text(one['words'] ?? one['label']) || id} {maybe(one['grams']) !== null && mass(number(one['grams']))}</span></label>
          })}</fieldset>}
        <Field label="all that is loose of these calls" value={calls.value} onInput={(value) => (calls.value = value)} hint="ends of call keys" />
        <div class="two-columns">
          <Field label="net grams" value={grams.value} onInput={(value) => (grams.value = value)} inputMode="decimal" hint="empty: the sum of what went in" />
          <Choice label="frozen by" value={method.value} onChange={(value) => (method.value = value)} options={[['dry_ice', 'dry ice'], ['freezer', 'freezer'], ['liquid_nitrogen', 'liquid nitrogen'], ['unknown', 'not known']]} />
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
  const sealing = useSignal(false)
  const search = useSignal('')
  useEffect(() => {
    const stop = new AbortController()
    const kept = (failure: unknown): void => tellFailure(failure)
    get<unknown>('/api/lots', stop.signal).then((value) => (lots.value = list(object(value)['lots'] ?? value).map(lotFrom))).catch((failure) => { lots.value ??= []; kept(failure) })
    get<unknown>('/api/freezer' + query({ on: day.value }), stop.signal).then((value) => (stock.value = object(value))).catch(kept)
    get<unknown>('/api/orders' + query({ on: day.value }), stop.signal).then((value) => (orders.value = list(object(value)['orders'] ?? value).map(object))).catch(kept)
    return () => stop.abort()
  }, [day.value, revision.value])
  if (detail.value) return <LotSheet key={detail.value} code={detail.value} />
  const wanted = search.value.trim().toLowerCase()
  const shown = (lots.value ?? []).filter((lot) => !wanted || `${lot.code} ${lot.species} ${lot.place} ${lot.state}`.toLowerCase().includes(wanted)).reverse()
  const loose = list(stock.value['loose']).map(object)
  const kinds = list(stock.value['species'] ?? stock.value['stock']).map(object)
  return (
    <>
      <header class="sheet-head"><h1>Freezer<small>{shown.length} lots</small></h1><button type="button" class="main" onClick={() => (sealing.value = true)}>Seal a lot</button></header>
      {kinds.length > 0 && <ul class="stock">{kinds.map((kind, index) => (
        <li key={index}><b>{mass(number(kind['sealed_g'] ?? kind['grams']))}</b><i>{text(kind['species_name'] ?? kind['name'] ?? kind['species'])}</i>{maybe(kind['loose_g']) ? <small>and {mass(number(kind['loose_g']))} loose</small> : null}</li>
      ))}</ul>}
      {orders.value.length > 0 && (
        <section><h2>Orders</h2>
          <ul class="orders">
            {orders.value.map((order, index) => {
              const want = number(order['wanted_g'])
              const have = number(order['covered_g'] ?? order['shipped_g']) + number(order['covered_g'] !== undefined ? 0 : order['at_hand_g'])
              return (
                <li key={index}>
                  <p><b>{text(order['laboratory'])}</b> <i>{text(order['species_name'] ?? order['species'])}</i>{text(order['due']) && <span>by {plainDay(text(order['due']))}</span>}
                    {maybe(order['price_minor']) !== null && <span>{money(number(order['price_minor']), desk.value?.currency)} a gram</span>}</p>
                  <Bar share={want ? have / want : 0} label={`${mass(have)} of ${mass(want)}`} />
                  <small>{mass(have)} of {mass(want)}{text(order['words']) && `; ${text(order['words'])}`}</small>
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
