import { useEffect } from 'preact/hooks'
import { useSignal } from '@preact/signals'
import { call as ask, Refused } from '../core/api'
import { object, text, type Json } from '../core/adapt'
import { changedFields, clashes, settle, type Clash } from '../core/conflict'
import { measures, revision, tell, tellFailure } from '../core/store'
import { metresFrom, minutesFrom, span } from '../core/measure'
import { Dialog, Field, Tick, Choice } from './forms'
import { editable, type Editable } from './call_fields'

function shown(field: Editable, value: unknown): string {
  if (value === null || value === undefined) return ''
  if (field.kind === 'length' && typeof value === 'number') {
    return measures.value === 'us_customary'
      ? `${Math.round((value / 0.3048) * 10) / 10} ft` : `${Math.round(value * 100) / 100} m`
  }
  if (field.kind === 'minutes' && typeof value === 'number') return span(value * 60)
  if (Array.isArray(value)) return value.map(String).join(', ')
  return text(value)
}
function said(value: unknown): string {
  if (value === true) return 'yes'
  if (value === false) return 'no'
  if (value === null || value === undefined || value === '') return 'nothing'
  return Array.isArray(value) ? value.join(', ') : String(value)
}
function valueOf(field: Editable, typed: string): unknown {
  const words = typed.trim()
  if (field.kind === 'length') return words ? metresFrom(words, measures.value) : null
  if (field.kind === 'minutes') return words ? minutesFrom(words) : null
  if (field.kind === 'list') return words ? words.split(/\s*,\s*/) : []
  if (field.kind === 'day' || field.kind === 'choice') return words || null
  return words
}

export function CallEditor(props: { call: string; onClose: () => void }) {
  const path = `/api/calls/${encodeURIComponent(props.call)}`
  const was = useSignal<Json | null>(null)
  const etag = useSignal('')
  const typed = useSignal<Record<string, string | boolean>>({})
  const wrong = useSignal<{ field: string; words: string } | null>(null)
  const conflict = useSignal<{ theirs: Json; by: string; etag: string; all: Clash[]; mine: Json } | null>(null)
  const choice = useSignal<Record<string, 'mine' | 'theirs'>>({})
  const busy = useSignal(false)

  useEffect(() => {
    ask<unknown>(path).then((answer) => {
      was.value = object(answer.body)
      etag.value = answer.etag ?? ''
    }).catch((failure) => {
      tellFailure(failure)
      props.onClose()
    })
  }, [props.call])

  const record = was.value
  if (!record) return <Dialog title="Edit the call" onClose={props.onClose}><p class="loading">reading the call</p></Dialog>
  const fields = editable.filter((field) => field.name in record)

  const mine = (): Json => {
    const values: Json = {}
    for (const field of fields) {
      const now = typed.value[field.name]
      if (now === undefined) continue
      const value = typeof now === 'boolean' ? now : valueOf(field, now)
      if (field.kind === 'length' && typeof now === 'string' && now.trim() && value === null) {
        throw new Refused(422, 'length', `${field.words}: a length like 2.5 m or 8 ft`, field.name, null)
      }
      if (field.kind === 'minutes' && typeof now === 'string' && now.trim() && value === null) {
        throw new Refused(422, 'minutes', `${field.words}: a time like 3 h, 2 h 30 or 150 min`, field.name, null)
      }
      values[field.name] = value
    }
    return changedFields(record, values)
  }
  const save = async (changes: Json, tag: string): Promise<void> => {
    if (!Object.keys(changes).length) {
      props.onClose()
      return
    }
    busy.value = true
    wrong.value = null
    try {
      await ask(path, { method: 'PATCH', body: changes, headers: { 'If-Match': tag } })
      tell('the call is changed')
      revision.value++
      props.onClose()
    } catch (failure) {
      if (failure instanceof Refused && failure.status === 412) {
        const body = object(failure.body)
        const fresh = await ask<unknown>(path)
        const theirs = object(fresh.body)
        const all = clashes(record, changes, theirs)
        const error = object(body['error'])
        const by = text(body['by'] ?? error['by'] ?? theirs['changed_by']) || 'someone else'
        if (!all.length) {
          // Each changed something else: both stand.
          await save(changes, fresh.etag ?? '')
          tell(`${by} changed other fields of this call meanwhile; both changes stand`)
          return
        }
        conflict.value = { theirs, by, etag: fresh.etag ?? '', all, mine: changes }
        choice.value = Object.fromEntries(all.map((clash) => [clash.field, 'theirs']))
      } else if (failure instanceof Refused && failure.field) {
        wrong.value = { field: failure.field, words: failure.message }
      } else tellFailure(failure)
    } finally {
      busy.value = false
    }
  }

  const now = conflict.value
  if (now) {
    const all = (which: 'mine' | 'theirs') => (): void => {
      choice.value = Object.fromEntries(now.all.map((clash) => [clash.field, which]))
    }
    return (
      <Dialog title="Two changes stand against each other" onClose={props.onClose} wide>
        <p>{now.by} changed this call while you had it open. Nothing of yours is saved yet.</p>
        <table class="clash" data-testid="conflict">
          <thead><tr><th scope="col">field</th><th scope="col">before</th><th scope="col">mine</th><th scope="col">theirs</th></tr></thead>
          <tbody>
            {now.all.map((clash) => (
              <tr key={clash.field}>
                <th scope="row">{editable.find((field) => field.name === clash.field)?.words ?? clash.field}</th>
                <td>{said(clash.was)}</td>
                {(['mine', 'theirs'] as const).map((which) => (
                  <td key={which}><label class="tick"><input type="radio" name={`clash-${clash.field}`} checked={choice.value[clash.field] === which}
                    onChange={() => (choice.value = { ...choice.value, [clash.field]: which })} /><span>{said(clash[which])}</span></label></td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
        <footer>
          <button type="button" onClick={all('mine')}>All mine</button>
          <button type="button" onClick={all('theirs')}>All theirs</button>
          <button type="button" class="main" disabled={busy.value}
            onClick={() => void save(settle(now.mine, now.theirs, choice.value), now.etag)}>Save this choice</button>
        </footer>
      </Dialog>
    )
  }
  return (
    <Dialog title="Edit the call" onClose={props.onClose}>
      <form data-testid="call-editor" onSubmit={(event) => {
        event.preventDefault()
        try {
          void save(mine(), etag.value)
        } catch (failure) {
          if (failure instanceof Refused) wrong.value = { field: failure.field, words: failure.message }
        }
      }}>
        <div class="two-columns">
          {fields.map((field) => {
            const value = typed.value[field.name]
            const set = (next: string | boolean): void => { typed.value = { ...typed.value, [field.name]: next } }
            const error = wrong.value?.field === field.name ? wrong.value.words : ''
            if (field.kind === 'yes') return <Tick key={field.name} label={field.words} value={typeof value === 'boolean' ? value : record[field.name] === true} onChange={set} />
            const words = typeof value === 'string' ? value : shown(field, record[field.name])
            if (field.kind === 'choice') return <Choice key={field.name} label={field.words} value={words} options={field.options ?? []} onChange={set} error={error} />
            return <Field key={field.name} label={field.words} value={words} onInput={set} error={error}
              type={field.kind === 'day' ? 'date' : 'text'} {...(field.kind === 'note' ? { rows: 3 } : {})}
              {...(field.hint ? { hint: field.hint } : {})} testid={`edit-${field.name}`} />
          })}
        </div>
        {wrong.value && !fields.some((field) => field.name === wrong.value?.field) && <p class="hint wrong" role="alert">{wrong.value.words}</p>}
        <footer><button type="button" onClick={props.onClose}>Cancel</button>
          <button type="submit" class="main" disabled={busy.value}>Save</button></footer>
      </form>
    </Dialog>
  )
}
