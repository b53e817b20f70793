import { useEffect } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { post, Refused } from './core/api'
import { go, roomNames } from './core/address'
import {
  desk, dismiss, mapInFront, measuresWish, notices, online, person, revision, room, tell, tellFailure,
  theme, waitingToSend, type Measures, type RoomName, type Theme,
} from './core/store'
import { loading as loadingMorning, waiting } from './core/morning'
import { discard, flush, queued, type Queued } from './core/queue'
import { instant } from './core/dates'
import { Choice, Dialog, Field } from './parts/forms'
import { RoomIcon } from './parts/marks'
import { MapPanel } from './map/map_panel'
import { Morning } from './rooms/morning'
import { Strips } from './rooms/strips'
import { Season } from './rooms/season'
import { Brood } from './rooms/brood'
import { Freezer } from './rooms/freezer'
import { Intake } from './rooms/intake'
import { Visit } from './rooms/visit'

const titles: Record<RoomName, string> = {
  morning: 'Morning', season: 'Season', brood: 'Brood', freezer: 'Freezer', intake: 'Intake', visit: 'Visit',
}

function Comb() {
  return (
    <nav class="comb" aria-label="rooms">
      <ul>
        {roomNames.map((name) => (
          <li key={name}>
            <a href={`#/${name}`} aria-current={room.value === name ? 'page' : undefined} onClick={(event) => {
              event.preventDefault()
              mapInFront.value = false
              go(name)
            }}>
              <svg class="cell" viewBox="0 0 60 66" aria-hidden="true"><path d="M30 2 57 17.500v31L30 64 3 48.500v-31z" /></svg>
              <RoomIcon room={name} />
              <span>{titles[name]}</span>
            </a>
          </li>
        ))}
      </ul>
    </nav>
  )
}

function Choices(props: { onClose: () => void }) {
  return (
    <Dialog title="This screen" onClose={props.onClose}>
      <form method="dialog" onSubmit={(event) => { event.preventDefault(); props.onClose() }}>
        <Field label="Who works here" value={person.value} onInput={(value) => (person.value = value.trim())} autofocus
          hint="stands beside each change that is made here" list={desk.value?.people ?? []} testid="person" />
        <Choice label="Look" value={theme.value} onChange={(value) => (theme.value = value as Theme)}
          options={[['system', 'as the machine'], ['light', 'light'], ['dark', 'dark']]} testid="theme" />
        <Choice label="Measures" value={measuresWish.value} onChange={(value) => (measuresWish.value = value as Measures | '')}
          options={[['', 'as the book'], ['metric', 'metric'], ['us_customary', 'US customary']]} testid="measures" />
        <div class="keys">
          <h3>Keys</h3>
          <p><kbd>Alt</kbd>+<kbd>1</kbd> to <kbd>6</kbd> the rooms; in a list <kbd>↑</kbd> <kbd>↓</kbd> move, <kbd>I</kbd> in, <kbd>O</kbd> out, <kbd>P</kbd> pin, <kbd>Enter</kbd> look; on the map arrows, <kbd>+</kbd> <kbd>−</kbd>; <kbd>Ctrl</kbd>+<kbd>Enter</kbd> saves a form.</p>
        </div>
        <p class="small-print">Nestround {desk.value?.version}. Everything on this page comes from the program on this machine.</p>
        <footer><button type="submit" class="main">Done</button></footer>
      </form>
    </Dialog>
  )
}

function Outbox(props: { onClose: () => void }) {
  const all = useSignal<Queued[]>([])
  const read = (): void => void queued().then((entries) => (all.value = entries))
  useEffect(read, [waitingToSend.value])
  return (
    <Dialog title="Waiting to be sent" onClose={props.onClose}>
      <p>Kept in this browser until the program took it.</p>
      <ul class="outbox">
        {all.value.map((entry) => (
          <li key={entry.id}><b>{entry.words}</b> <small>{instant(entry.at)}</small>
            {entry.refused && <p class="hint wrong">refused: {entry.refused}</p>}
            {entry.refused && <button type="button" class="quiet" onClick={() => void discard(entry.id).then(read)}>Throw away</button>}
          </li>
        ))}
      </ul>
      <footer><button type="button" class="main" onClick={() => void flush().then(read)}>Send now</button></footer>
    </Dialog>
  )
}

function Top() {
  const choosing = useSignal(false)
  const outbox = useSignal(false)
  const undo = async (): Promise<void> => {
    try {
      const answer = await post<{ words?: string } | null>('/api/undo', {})
      tell(answer?.words ? `taken back: ${answer.words}` : 'your last change is taken back')
      revision.value++
    } catch (failure) {
      if (failure instanceof Refused && (failure.status === 404 || failure.status === 409)) tell(failure.message, 'failed')
      else tellFailure(failure)
    }
  }
  return (
    <div class="top">
      <span class="word">Nestround</span>
      <span class={online.value ? 'line on' : 'line off'} role="status" data-testid="line">
        {online.value ? 'in touch' : 'no connection'}
      </span>
      {waitingToSend.value > 0 && (
        <button type="button" class="waiting" data-testid="waiting" onClick={() => (outbox.value = true)}>{waitingToSend.value} to send</button>
      )}
      <span class="spring" />
      <button type="button" class="quiet only-narrow" aria-pressed={mapInFront.value} onClick={() => (mapInFront.value = !mapInFront.value)}>
        {mapInFront.value ? 'Sheet' : 'Map'}
      </button>
      <button type="button" class="quiet" onClick={() => void undo()} title="take back your last change">Undo</button>
      <button type="button" class="quiet who" onClick={() => (choosing.value = true)} aria-label={`this screen: ${person.value || 'nobody named yet'}`}>
        {person.value || 'Who?'}
      </button>
      {choosing.value && <Choices onClose={() => (choosing.value = false)} />}
      {outbox.value && <Outbox onClose={() => (outbox.value = false)} />}
    </div>
  )
}

function Room() {
  switch (room.value) {
    case 'season': return <Season />
    case 'brood': return <Brood />
    case 'freezer': return <Freezer />
    case 'intake': return <Intake />
    case 'visit': return <Visit />
    default: return <Morning />
  }
}

export function Shell() {
  useEffect(() => {
    const keys = (event: KeyboardEvent): void => {
      const wanted = roomNames[Number(event.key) - 1]
      if (event.altKey && !event.ctrlKey && !event.metaKey && wanted) {
        event.preventDefault()
        go(wanted)
      }
    }
    addEventListener('keydown', keys)
    return () => removeEventListener('keydown', keys)
  }, [])
  useEffect(() => {
    document.title = `${titles[room.value]} - Nestround`
    document.querySelector('.sheet')?.scrollTo(0, 0)
  }, [room.value])
  if (!desk.value) return <p class="loading" role="status">opening the book</p>
  const name = room.value
  const ready = name !== 'morning' || (!loadingMorning.value && waiting.value.length >= 0)
  return (
    <div class={`shell room-${name}`} data-ready={ready}>
      <a class="skip" href="#sheet" onClick={(event) => { event.preventDefault(); document.getElementById('sheet')?.focus() }}>To the sheet</a>
      <Comb />
      <main class="sheet" id="sheet" tabIndex={-1} aria-label={titles[name]}>
        <Top />
        <Room />
      </main>
      <MapPanel />
      {name === 'morning' && <Strips />}
      <div class="notices" aria-live="polite">
        {notices.value.map((notice) => (
          <p key={notice.id} class={notice.kind} role={notice.kind === 'failed' ? 'alert' : undefined}>
            {notice.words} <button type="button" class="quiet" aria-label="dismiss" onClick={() => dismiss(notice.id)}>✕</button>
          </p>
        ))}
      </div>
    </div>
  )
}
