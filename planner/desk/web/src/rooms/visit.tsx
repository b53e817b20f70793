// The visit, on a phone beside the house. Each tap is kept in the browser first and sent when the
// program can be reached; the same tap is never counted twice.
import { useEffect } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { get } from '../core/api'
import { callFrom, list, object, text, type Json } from '../core/adapt'
import { day, detail, mapInFront, measures, online, revision, todayOfDesk, waitingToSend } from '../core/store'
import { plan, waiting, loading } from '../core/morning'
import { newId, queued, send, type Queued } from '../core/queue'
import { distance, height, massRange, span } from '../core/measure'
import { clock, instant, nowOn } from '../core/dates'
import { visitsOf } from '../core/visits'
import { go } from '../core/address'
import { Empty, Field } from '../parts/forms'
import { NestMark, StopMark } from '../parts/marks'
import { DayPicker } from '../parts/day_picker'
import { sendPhoto } from '../parts/photo'

export interface StepKind {
  step: string
  words: string
  done: string
  fields: { name: string; words: string; whole?: boolean; hint?: string }[]
}
export const steps: StepKind[] = [
  { step: 'arrive', words: 'Arrive and look', done: 'arrived', fields: [] },
  { step: 'from_the_ground', words: 'From the ground', done: 'from the ground', fields: [] },
  { step: 'ladder', words: 'Ladder', done: 'on the ladder', fields: [] },
  { step: 'catch', words: 'Catch', done: 'caught', fields: [
    { name: 'grams', words: 'grams', hint: 'live wasps, weighed' }, { name: 'workers', words: 'wasps, counted or guessed', whole: true },
    { name: 'containers', words: 'containers', whole: true }] },
  { step: 'comb', words: 'Comb', done: 'comb taken', fields: [
    { name: 'combs', words: 'pieces of comb', whole: true }, { name: 'cells', words: 'sealed cells, about', whole: true }] },
  { step: 'clean_up', words: 'Clean up', done: 'cleaned up', fields: [] },
  { step: 'done', words: 'Done, tell the client', done: 'done', fields: [] },
]

/** Said wherever the plan did not look at a ladder: the step is there to be tapped all the same. */
const noLadder = 'no ladder is planned here, so nobody has looked at its height, footing and lines: before one goes up, local codes, the maker\u2019s instructions and licensed practice decide, and nobody works alone'

interface StepDone {
  id: string
  step: string
  at: string
  figures: Json
  /** `keeping`: tapped, and not yet on this phone's disk. */
  state: 'sent' | 'keeping' | 'kept' | 'refused'
}

function StepCell(props: { kind: StepKind; done: StepDone | undefined; next: boolean; onDo: (figures: Json, note: string) => void }) {
  const { kind, done } = props
  const open = useSignal(false)
  const typed = useSignal<Record<string, string>>({})
  const note = useSignal('')
  const wrong = useSignal('')
  const record = (): void => {
    if (kind.fields.length && !open.value) {
      open.value = true
      return
    }
    const figures: Json = {}
    for (const field of kind.fields) {
      const words = (typed.value[field.name] ?? '').trim().replace(',', '.')
      if (!words) continue
      const value = Number(words)
      if (!Number.isFinite(value) || value < 0 || (field.whole && !Number.isInteger(value))) {
        wrong.value = `${field.words}: ${field.whole ? 'a whole number' : 'a number'}, please`
        return
      }
      figures[field.name] = value
    }
    wrong.value = ''
    open.value = false
    props.onDo(figures, note.value.trim())
  }
  return (
    <li class={`step${done ? ' done' : ''}${props.next ? ' next' : ''}`} data-step={kind.step} data-state={done?.state ?? 'open'}>
      <button type="button" class="step-button" onClick={record} disabled={!!done} aria-describedby={`state-${kind.step}`}>
        <svg class="cell" viewBox="0 0 60 66" aria-hidden="true"><path d="M30 2 57 17.500v31L30 64 3 48.500v-31z" />{done && <path class="tickmark" d="M18 34l9 9 17-19" />}</svg>
        <span class="step-words"><b>{kind.words}</b>
          <small id={`state-${kind.step}`}>
            {done ? `${instant(done.at)}${done.state === 'keeping' ? ', being kept' : done.state === 'kept' ? ', kept here, not sent yet' : done.state === 'refused' ? ', refused: see “to send”' : ''}` : props.next ? 'tap when it is so' : ''}
            {done && Object.entries(done.figures).map(([name, value]) => ` · ${String(value)} ${kind.fields.find((field) => field.name === name)?.words ?? name}`)}
          </small>
        </span>
      </button>
      {open.value && !done && (
        <form class="step-form" onSubmit={(event) => { event.preventDefault(); record() }}>
          {kind.fields.map((field, index) => (
            <Field key={field.name} label={field.words} value={typed.value[field.name] ?? ''} inputMode={field.whole ? 'numeric' : 'decimal'}
              onInput={(value) => (typed.value = { ...typed.value, [field.name]: value })} autofocus={index === 0}
              {...(field.hint ? { hint: field.hint } : {})} testid={`figure-${field.name}`} />
          ))}
          <Field label="note" value={note.value} onInput={(value) => (note.value = value)} />
          {wrong.value && <p class="hint wrong" role="alert">{wrong.value}</p>}
          <button type="submit" class="main">Keep</button>
        </form>
      )}
    </li>
  )
}

function OneVisit(props: { call: string }) {
  const sent = useSignal<StepDone[]>([])
  const kept = useSignal<StepDone[]>([])
  const record = useSignal<Json>({})
  const path = `/api/visits/${encodeURIComponent(props.call)}`
  const readKept = async (): Promise<void> => {
    const read = (await queued().catch(() => [])).filter((entry) => entry.path === `${path}/steps`).map((entry): StepDone => {
      const { step_id, step, at, ...figures } = object(entry.body)
      return { id: text(step_id), step: text(step), at: text(at), figures, state: entry.refused ? 'refused' : 'kept' }
    })
    // What was tapped while this was read stays on the screen, or a second tap would enter it twice.
    const tapped = kept.value.filter((one) => one.state === 'keeping' && !read.some((other) => other.id === one.id))
    kept.value = [...read, ...tapped]
  }
  useEffect(() => {
    const stop = new AbortController()
    get<unknown>(path, stop.signal).then((answer) => {
      record.value = object(answer)
      sent.value = list(object(answer)['steps']).map((entry) => {
        const one = object(entry)
        const figures = Object.fromEntries(steps.flatMap((kind) => kind.fields).flatMap((field) => {
          const value = one[field.name] ?? object(one['figures'])[field.name]
          return typeof value === 'number' ? [[field.name, value]] : []
        }))
        return { id: text(one['step_id'] ?? one['id']), step: text(one['step']), at: text(one['at']), figures, state: 'sent' as const }
      })
    }).catch(() => {
      // Without a connection the page shows what it has.
    })
    return () => stop.abort()
  }, [props.call, revision.value, waitingToSend.value])
  useEffect(() => void readKept(), [props.call, waitingToSend.value])

  const call = waiting.value.find((one) => one.call === props.call)
  const stages = object(record.value)
  const comesAgain = !!call?.comesAgain || callFrom(stages).comesAgain
  const all = [...sent.value, ...kept.value.filter((one) => !sent.value.some((other) => other.id === one.id))]
  const { first, second } = visitsOf(all, comesAgain)
  const inHand = second ?? first
  const seats = plan.value?.crews.flatMap((crew) => crew.stops.map((stop) => ({ crew, stop }))).filter(({ stop }) => stop.call.call === props.call) ?? []
  const seat = seats.find(({ stop }) => stop.second === !!second) ?? seats[0]
  const doneOf = (step: string): StepDone | undefined => inHand.find((one) => one.step === step)
  const next = steps.find((kind) => !doneOf(kind.step))
  const enter = async (kind: StepKind, figures: Json, note: string): Promise<void> => {
    const id = newId()
    const body = { step_id: id, step: kind.step, at: nowOn(todayOfDesk()), ...figures, ...(note ? { note } : {}) }
    const entry: Queued = { id, path: `${path}/steps`, body, at: body.at, words: `${kind.words}, ${call?.label ?? 'visit'}` }
    // Shown at once, and as kept only when it is: someone may put the phone away on that word.
    kept.value = [...kept.value, { id, step: kind.step, at: body.at, figures, state: 'keeping' }]
    const result = await send(entry, () => {
      kept.value = kept.value.map((one) => (one.id === id ? { ...one, state: 'kept' } : one))
    })
    if (result === 'sent') sent.value = [...sent.value, { id, step: kind.step, at: body.at, figures, state: 'sent' }]
    kept.value = kept.value.filter((one) => one.id !== id || one.state !== 'keeping')
    await readKept()
  }
  const photo = async (files: FileList | null): Promise<void> => {
    const file = files?.[0]
    if (!file) return
    await sendPhoto(file, props.call)
  }
  return (
    <article class="visit">
      <button type="button" class="link back" onClick={() => go('visit')}>‹ all nests of the day</button>
      <header class="visit-head">
        {seat ? <StopMark index={seat.crew.index} words={`${seat.crew.letter}${seat.stop.number}`} speciesName={seat.stop.call.speciesName} size={48} />
              : <NestMark speciesName={call?.speciesName ?? ''} stage={call?.stage ?? ''} size={44} />}
        <div>
          <h1>{call?.label ?? (text(stages['site_name']) || 'Visit')}</h1>
          {comesAgain && <p class="visit-count" data-testid="visit-count">{second ? 'second visit, for the wasps that were away at the first' : 'first visit; a second one the same day is asked for'}</p>}
          {seat && <p>{seat.crew.name}, {clock(seat.stop.begin_s)} to {clock(seat.stop.leave_s)}</p>}
        </div>
      </header>
      {call && (
        <dl class="facts-list">
          <dt>nest</dt><dd>{[call.kind, call.height === null ? '' : height(call.height, measures.value)].filter(Boolean).join(', ') || 'not described'}</dd>
          <dt>colony</dt><dd><i>{call.speciesName || 'not known'}</i>{call.stage && `, ${call.stage}`}{call.grams.p50 > 0 && `, about ${massRange(call.grams)}`}</dd>
          {seat && <><dt>way</dt><dd>{seat.stop.way}</dd><dt>carry</dt><dd>{seat.stop.gear.join(', ')}</dd></>}
        </dl>
      )}
      <details class="mind" open><summary>Mind here</summary><ul>
        {[...(call?.cautions ?? []), ...(seat?.stop.cautions ?? []), ...(/ladder/i.test(seat?.stop.way ?? '') ? [] : [noLadder])]
          .map((one) => <li key={one}>{one}</li>)}
      </ul></details>
      {second && (
        <p class="hint" data-testid="first-visit">First visit: {first.map((one) => [
          `${steps.find((kind) => kind.step === one.step)?.done ?? one.step} ${instant(one.at)}`,
          ...Object.entries(one.figures).filter(([, value]) => typeof value === 'number').map(([name, value]) => `${String(value)} ${name}`),
        ].join(', ')).join('; ')}.{stages['second_due'] ? ` The second may begin from ${instant(text(stages['second_due']))}.` : ''}</p>
      )}
      <ol class="steps" aria-label="the visit, step by step">
        {steps.map((kind) => (
          <StepCell key={`${second ? 'second' : 'first'} ${kind.step}`} kind={kind} done={doneOf(kind.step)} next={next?.step === kind.step} onDo={(figures, note) => void enter(kind, figures, note)} />
        ))}
      </ol>
      <div class="visit-more">
        <label class="file"><input type="file" accept="image/jpeg,image/png,image/webp" capture="environment" onChange={(event) => void photo(event.currentTarget.files)} /><span>Photo</span></label>
        <button type="button" class="only-narrow" onClick={() => (mapInFront.value = true)}>Map</button>
      </div>
      {!online.value && <p class="hint" role="status">No connection: what you tap is kept in this phone and sent by itself later. Leave this page’s data in the browser until then.</p>}
      {!next && <p class="hint" role="status">All steps are entered.</p>}
    </article>
  )
}

export function Visit() {
  if (detail.value) return <OneVisit key={detail.value} call={detail.value} />
  const crews = plan.value?.crews ?? []
  return (
    <>
      <header class="sheet-head"><h1>Visit<small>nests of the day, in order</small></h1><DayPicker /></header>
      {crews.map((crew) => (
        <section key={crew.id} class="visit-crew">
          <h2><span class={`crew-letter crew-${crew.index % 4}`}>{crew.letter}</span> {crew.name}</h2>
          <ol>
            {crew.stops.map((stop) => (
              <li key={`${stop.call.call} ${stop.number}`}>
                <button type="button" class="visit-row" onClick={() => go('visit', stop.call.call)}>
                  <StopMark index={crew.index} words={`${crew.letter}${stop.number}`} speciesName={stop.call.speciesName} size={38} />
                  <span><b>{stop.call.label}</b><small>{clock(stop.begin_s)}; {span(stop.drive_s)}, {distance(stop.road_m, measures.value)} to it</small></span>
                </button>
              </li>
            ))}
          </ol>
        </section>
      ))}
      {!crews.length && (loading.value ? <p class="loading" role="status">reading the day</p> : (
        <>
          <Empty>No plan for {day.value} yet. It is made in Morning; any waiting nest can be visited without one.</Empty>
          <ol class="visit-crew">
            {waiting.value.map((call) => (
              <li key={call.call}><button type="button" class="visit-row" onClick={() => go('visit', call.call)}>
                <NestMark speciesName={call.speciesName} stage={call.stage} size={34} /><span><b>{call.label}</b></span></button></li>
            ))}
          </ol>
        </>
      ))}
    </>
  )
}
