// A call in under a minute, by keyboard alone: where, what, who; the wasp is guessed on the way.
import { useEffect, useRef } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { get, post } from '../core/api'
import { list, maybe, number, object, text, type Json } from '../core/adapt'
import { day, desk, detail, measures, revision, tell, todayOfDesk } from '../core/store'
import { metresFrom } from '../core/measure'
import { draft, isInHand, newId, send } from '../core/queue'
import { instant } from '../core/dates'
import { go } from '../core/address'
import { Choice, Field, Tick } from '../parts/forms'
import { PlaceBox, type FoundPlace } from '../parts/place_box'
import { photoId, sendPhoto } from '../parts/photo'
import { nestKinds } from '../parts/call_fields'
import { NestMark } from '../parts/marks'
import { spot, theMap } from '../map/map_state'

interface Draft {
  site: string
  place: FoundPlace | null
  kind: string
  height: string
  entrance: string
  client: string
  phone: string
  allergic: boolean
  nearDoor: boolean
  insecticide: boolean
  notAfter: string
  note: string
  traits: Record<string, string>
  photos: { id: string; words: string }[]
}
const blank: Draft = {
  site: '', place: null, kind: 'unknown', height: '', entrance: '', client: '', phone: '', allergic: false,
  nearDoor: false, insecticide: false, notAfter: '', note: '', traits: {}, photos: [],
}
interface Trait {
  trait: string
  words: string
  answers: [string, string][]
}
interface Guess {
  code: string
  name: string
  common: string
  share: number
}

function traitsOf(value: unknown): Trait[] {
  const body = object(value)
  return list(body['traits'] ?? value).map((entry) => {
    const one = object(entry)
    return {
      trait: text(one['trait'] ?? one['name'] ?? one['id']),
      words: text(one['question'] ?? one['words'] ?? one['trait']),
      answers: list(one['answers'] ?? one['values']).map((answer): [string, string] => {
        if (typeof answer === 'string') return [answer, answer]
        const words = object(answer)
        const name = text(words['answer'] ?? words['value'] ?? words['name'])
        return [name, text(words['words']) || name]
      }),
    }
  }).filter((trait) => trait.trait && trait.answers.length)
}

export function Intake() {
  const form = useSignal<Draft>(blank)
  const traits = useSignal<Trait[]>([])
  const guesses = useSignal<Guess[]>([])
  const look = useSignal<string[]>([])
  const wrong = useSignal<{ field: string; words: string } | null>(null)
  const busy = useSignal(false)
  const started = useRef(performance.now())
  const self = useRef<HTMLFormElement>(null)
  const set = (part: Partial<Draft>): void => {
    form.value = { ...form.value, ...part }
    void draft.put('intake', form.value).catch(() => {})
  }

  useEffect(() => {
    void draft.get<Draft>('intake').then((kept) => {
      if (kept) form.value = { ...blank, ...kept }
      const at = /^at=(-?[\d.]+),(-?[\d.]+)$/.exec(detail.value)
      if (at) {
        const place = { shown: `${Number(at[2]).toFixed(5)}, ${Number(at[1]).toFixed(5)}`, how: 'from the map', lon: Number(at[1]), lat: Number(at[2]), uncertainty: 30 }
        set({ place })
      }
    })
    get<unknown>('/api/traits').then((answer) => (traits.value = traitsOf(answer))).catch(() => {})
  }, [detail.value])

  // The guess follows what is filled in.
  const seen = JSON.stringify([form.value.traits, form.value.kind, form.value.height])
  useEffect(() => {
    const timer = setTimeout(() => {
      const heightM = metresFrom(form.value.height, measures.value)
      const place = form.value.place
      post<unknown>('/api/wasp', {
        on: day.value,
        traits: Object.entries(form.value.traits).filter(([, answer]) => answer).map(([trait, answer]) => ({ trait, answer })),
        ...(form.value.kind !== 'unknown' ? { nest_kind: form.value.kind } : {}),
        ...(heightM !== null ? { height_m: heightM } : {}),
        ...(place ? { lat: place.lat, lon: place.lon } : {}),
      }).then((answer) => {
        const body = object(answer)
        guesses.value = list(body['ranked'] ?? body['taxa'] ?? body['guesses']).map((entry): Guess => {
          const one = object(entry)
          const code = text(one['code'] ?? one['species'] ?? one['taxon'])
          return {
            code, name: text(one['name'] ?? one['taxon_name']) || code, common: text(one['common']),
            share: number(one['share'] ?? one['chance'] ?? one['probability']),
          }
        }).filter((guess) => guess.code)
        look.value = list(body['look_next']).map((entry) => text(object(entry)['trait']))
      }).catch(() => {})
    }, 180)
    return () => clearTimeout(timer)
  }, [seen])

  const save = async (): Promise<void> => {
    const now = form.value
    wrong.value = null
    const refuse = (field: string, words: string): void => {
      wrong.value = { field, words }
      self.current?.querySelector<HTMLElement>(`[data-testid="intake-${field}"]`)?.focus()
    }
    if (!now.place) return refuse('place', 'Where is it? An address, a plus code, coordinates, or a spot on the map.')
    const heightM = metresFrom(now.height, measures.value)
    if (now.height.trim() && heightM === null) return refuse('height', 'A height like 8 ft or 2.5 m; below the surface: -0.3 m.')
    busy.value = true
    const guess = guesses.value[0]
    const body: Json = {
      call_id: newId(),
      site_name: now.site.trim() || now.place.shown,
      lon: now.place.lon,
      lat: now.place.lat,
      ...(now.place.uncertainty !== null ? { uncertainty_m: now.place.uncertainty } : {}),
      place_note: now.place.how,
      received: todayOfDesk(),
      nest_kind: now.kind,
      ...(heightM !== null ? { height_m: heightM } : {}),
      ...(now.entrance.trim() ? { entrance: now.entrance.trim() } : {}),
      ...(now.client.trim() ? { client_name: now.client.trim() } : {}),
      ...(now.phone.trim() ? { client_phone: now.phone.trim() } : {}),
      allergic: now.allergic,
      near_door: now.nearDoor,
      insecticide: now.insecticide,
      ...(now.notAfter ? { not_after: now.notAfter } : {}),
      ...(now.note.trim() ? { note: now.note.trim() } : {}),
      traits: Object.entries(now.traits).filter(([, answer]) => answer).map(([trait, answer]) => ({ trait, answer })),
      ...(guess && Object.keys(now.traits).length ? { species: guess.code } : {}),
      photos: now.photos.map((photo) => photo.id),
    }
    const result = await send({
      id: String(body['call_id']), path: '/api/calls', body, at: new Date().toISOString(), words: `call: ${String(body['site_name'])}`,
    })
    busy.value = false
    if (!isInHand(result)) return
    tell(result === 'sent' ? `entered: ${String(body['site_name'])}, in ${Math.round((performance.now() - started.current) / 1000)} s` : 'kept here; it is sent when the program can be reached')
    await draft.drop('intake').catch(() => {})
    form.value = blank
    guesses.value = []
    started.current = performance.now()
    spot.value = null
    revision.value++
    if (detail.value) go('intake')
    self.current?.querySelector<HTMLElement>('input')?.focus()
  }
  const photo = async (files: FileList | null): Promise<void> => {
    const file = files?.[0]
    if (!file) return
    const answer = await sendPhoto(file)
    if (!answer) return
    const at = object(answer['place'] ?? answer)
    const lon = maybe(at['lon'])
    const lat = maybe(at['lat'])
    const taken = text(answer['taken'] ?? answer['taken_at'])
    set({
      photos: [...form.value.photos, { id: photoId(answer), words: [taken ? instant(taken) : '', lon !== null && lat !== null ? `${lat.toFixed(5)}, ${lon.toFixed(5)}` : 'no position in it'].filter(Boolean).join(', ') }],
      ...(lon !== null && lat !== null && !form.value.place
        ? { place: { shown: `${lat.toFixed(5)}, ${lon.toFixed(5)}`, how: 'from the photo', lon, lat, uncertainty: 20 } } : {}),
    })
  }
  const error = (field: string): string => (wrong.value?.field === field ? wrong.value.words : '')
  const now = form.value
  // What tells most comes first; what was answered stays.
  const order = (trait: Trait): number => {
    const at = look.value.indexOf(trait.trait)
    return now.traits[trait.trait] ? -1 : at < 0 ? 1000 : at
  }
  const sorted = [...traits.value].sort((a, b) => order(a) - order(b))
  const answered = sorted.filter((trait) => now.traits[trait.trait]).length
  const nextTrait = look.value[0] ?? ''
  const traitBox = (trait: Trait) => (
    <div key={trait.trait} class={nextTrait === trait.trait ? 'ask-next' : ''}>
      <Choice label={`${trait.words}${nextTrait === trait.trait ? ' (tells most)' : ''}`} value={now.traits[trait.trait] ?? ''} options={[['', 'not said'], ...trait.answers]}
        onChange={(answer) => set({ traits: { ...now.traits, [trait.trait]: answer } })} testid={`trait-${trait.trait}`} />
    </div>
  )
  return (
    <>
      <header class="sheet-head"><h1>Intake<small>a call, by keyboard alone</small></h1></header>
      <form ref={self} class="intake" data-testid="intake" onSubmit={(event) => { event.preventDefault(); void save() }}
        onKeyDown={(event) => {
          if (event.key === 'Enter' && (event.ctrlKey || event.metaKey)) { event.preventDefault(); void save() }
        }}>
        <fieldset><legend>Where</legend>
          <PlaceBox value={now.place} near={desk.value?.place ?? null} error={error('place')} onPick={(place) => {
            set({ place })
            if (place) theMap.value?.setCentre(place.lon, place.lat, 14)
          }} />
          <Field label="Spot in words" value={now.site} onInput={(site) => set({ site })} hint="like: eaves of the garage" testid="intake-site" />
        </fieldset>
        <fieldset class="two-columns"><legend>The nest</legend>
          <Choice label="Kind" value={now.kind} options={nestKinds} onChange={(kind) => set({ kind })} testid="intake-kind" />
          <Field label="Height" value={now.height} onInput={(value) => set({ height: value })} error={error('height')} hint={measures.value === 'metric' ? 'like 2.5 m' : 'like 8 ft'} testid="intake-height" />
          <Field label="Way in" value={now.entrance} onInput={(entrance) => set({ entrance })} testid="intake-entrance" />
          <Field label="Last day, if any" type="date" value={now.notAfter} onInput={(notAfter) => set({ notAfter })} />
          <Tick label="someone allergic there" value={now.allergic} onChange={(allergic) => set({ allergic })} />
          <Tick label="near a door in use" value={now.nearDoor} onChange={(nearDoor) => set({ nearDoor })} />
          <Tick label="was sprayed" value={now.insecticide} onChange={(insecticide) => set({ insecticide })} />
        </fieldset>
        <fieldset><legend>The wasp</legend>
          <div class="two-columns">
            {sorted.slice(0, answered + 4).map(traitBox)}
          </div>
          {sorted.length > answered + 4 && (
            <details><summary>More to look at</summary><div class="two-columns">{sorted.slice(answered + 4).map(traitBox)}</div></details>
          )}
          {guesses.value.length > 0 && (
            <ol class="guesses" aria-label="which wasp it may be" aria-live="polite" data-testid="guesses">
              {guesses.value.slice(0, 4).map((guess) => (
                <li key={guess.code}><NestMark speciesName={guess.name} stage="" size={22} /><span><i>{guess.name}</i> {guess.common && <small>{guess.common}</small>}</span>
                  <b>{Math.round(guess.share * 100)} %</b></li>
              ))}
            </ol>
          )}
          <label class="file"><input type="file" accept="image/jpeg,image/png,image/webp" data-testid="intake-photo" onChange={(event) => void photo(event.currentTarget.files)} /><span>Add a photo</span></label>
          {now.photos.map((one) => <p key={one.id} class="photo-line"><img src={`/api/photos/${encodeURIComponent(one.id)}`} alt="photo just added" /> {one.words}</p>)}
        </fieldset>
        <fieldset class="two-columns"><legend>Who called</legend>
          <Field label="Name" value={now.client} onInput={(client) => set({ client })} testid="intake-client" />
          <Field label="Phone" type="tel" inputMode="tel" value={now.phone} onInput={(phone) => set({ phone })} testid="intake-phone" />
        </fieldset>
        <Field label="Note" rows={2} value={now.note} onInput={(note) => set({ note })} testid="intake-note" />
        <footer class="form-foot">
          <button type="button" class="quiet" onClick={() => { form.value = blank; void draft.drop('intake') }}>Clear</button>
          <button type="submit" class="main" disabled={busy.value} data-testid="intake-save">Enter the call <kbd>Ctrl</kbd>+<kbd>Enter</kbd></button>
        </footer>
      </form>
    </>
  )
}
