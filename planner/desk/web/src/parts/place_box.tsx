// Typing a place: addresses, plus codes and coordinates, with a list that the arrow keys walk.
import { useEffect, useId } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { get, query } from '../core/api'
import { list, maybe, object, text } from '../core/adapt'
import { measures, tellFailure } from '../core/store'
import { distance } from '../core/measure'
import type { Place } from '../core/types'

export interface FoundPlace {
  shown: string
  how: string
  lon: number
  lat: number
  uncertainty: number | null
}
export function placesFrom(value: unknown): FoundPlace[] {
  const body = object(value)
  return list(body['places'] ?? body['found'] ?? value).flatMap((entry) => {
    const one = object(entry)
    const at = object(one['at'] ?? one['place'] ?? one)
    const lon = maybe(at['lon'])
    const lat = maybe(at['lat'])
    return lon === null || lat === null ? [] : [{
      shown: text(one['shown'] ?? one['name'] ?? one['label']), how: text(one['how'] ?? one['remark']), lon, lat, uncertainty: maybe(one['uncertainty_m']),
    }]
  })
}

export function PlaceBox(props: { value: FoundPlace | null; near: Place | null; error?: string; onPick: (place: FoundPlace | null) => void }) {
  const id = useId()
  const typed = useSignal('')
  const found = useSignal<FoundPlace[]>([])
  const at = useSignal(0)
  const open = useSignal(false)
  const none = useSignal(false)
  useEffect(() => {
    typed.value = props.value?.shown ?? ''
    open.value = false
  }, [props.value])
  useEffect(() => {
    const words = typed.value.trim()
    if (words.length < 2 || words === props.value?.shown) return
    const stop = new AbortController()
    const timer = setTimeout(() => {
      get<unknown>('/api/places' + query({ q: words, near: props.near ? `${props.near.lon},${props.near.lat}` : undefined }), stop.signal)
        .then((answer) => {
          found.value = placesFrom(answer).slice(0, 8)
          none.value = !found.value.length
          at.value = 0
          open.value = found.value.length > 0
        }).catch(tellFailure)
    }, 140)
    return () => {
      clearTimeout(timer)
      stop.abort()
    }
  }, [typed.value])
  const pick = (place: FoundPlace): void => {
    open.value = false
    props.onPick(place)
  }
  const keys = (event: KeyboardEvent): void => {
    if (!open.value) return
    if (event.key === 'ArrowDown') at.value = Math.min(found.value.length - 1, at.value + 1)
    else if (event.key === 'ArrowUp') at.value = Math.max(0, at.value - 1)
    else if (event.key === 'Enter' && !event.ctrlKey) pick(found.value[at.value]!)
    else if (event.key === 'Escape') open.value = false
    else if (event.key === 'Tab' && found.value[at.value]) {
      pick(found.value[at.value]!)
      return
    } else return
    event.preventDefault()
  }
  return (
    <div class="field place-box">
      <label for={id}>Address, plus code or coordinates</label>
      <input id={id} role="combobox" aria-expanded={open.value} aria-controls={`${id}-list`} aria-autocomplete="list" autocomplete="off" autofocus
        aria-activedescendant={open.value ? `${id}-${at.value}` : undefined} aria-invalid={props.error ? true : undefined} aria-describedby={`${id}-hint`}
        value={typed.value} data-testid="intake-place" onKeyDown={keys}
        onInput={(event) => {
          typed.value = event.currentTarget.value
          if (props.value) props.onPick(null)
        }} />
      <ul id={`${id}-list`} role="listbox" aria-label="places found" hidden={!open.value}>
        {found.value.map((place, index) => (
          <li key={`${place.shown} ${place.lon}`} id={`${id}-${index}`} role="option" aria-selected={index === at.value} onPointerDown={(event) => { event.preventDefault(); pick(place) }}>
            {place.shown} <small>{place.how}{place.uncertainty !== null && `, within ${distance(place.uncertainty, measures.value)}`}</small>
          </li>
        ))}
      </ul>
      <p id={`${id}-hint`} class={props.error ? 'hint wrong' : 'hint'}>
        {props.error || (props.value ? `${props.value.how || 'found'}${props.value.uncertainty !== null ? `, within ${distance(props.value.uncertainty, measures.value)}` : ''}` : none.value && typed.value.length > 2 ? 'nothing of that name; a long press on the map works too' : 'or press long on the map')}
      </p>
    </div>
  )
}
