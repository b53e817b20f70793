import type { ComponentChildren } from 'preact'
import { useEffect, useId, useRef } from 'preact/hooks'

/** A labelled input; what the program refused about it is said below it and read out. */
export function Field(props: {
  label: string
  value: string
  onInput: (value: string) => void
  hint?: string
  error?: string
  type?: string
  list?: string[]
  required?: boolean
  rows?: number
  autofocus?: boolean
  inputMode?: 'decimal' | 'numeric' | 'tel' | 'text'
  testid?: string
}) {
  const id = useId()
  const shared = {
    id,
    value: props.value,
    'aria-invalid': props.error ? true : undefined,
    'aria-describedby': props.error || props.hint ? `${id}-hint` : undefined,
    required: props.required,
    'data-testid': props.testid,
  }
  return (
    <div class="field">
      <label for={id}>{props.label}</label>
      {props.rows ? (
        <textarea {...shared} rows={props.rows} onInput={(event) => props.onInput(event.currentTarget.value)} />
      ) : (
        <input {...shared} type={props.type ?? 'text'} inputMode={props.inputMode} autofocus={props.autofocus}
          list={props.list ? `${id}-list` : undefined} autocomplete="off"
          onInput={(event) => props.onInput(event.currentTarget.value)} />
      )}
      {props.list && (
        <datalist id={`${id}-list`}>{props.list.map((one) => <option key={one} value={one} />)}</datalist>
      )}
      {(props.error || props.hint) && (
        <p id={`${id}-hint`} class={props.error ? 'hint wrong' : 'hint'}>{props.error || props.hint}</p>
      )}
    </div>
  )
}

export function Choice(props: {
  label: string
  value: string
  options: [value: string, words: string][]
  onChange: (value: string) => void
  error?: string
  testid?: string
}) {
  const id = useId()
  return (
    <div class="field">
      <label for={id}>{props.label}</label>
      <select id={id} value={props.value} data-testid={props.testid} aria-invalid={props.error ? true : undefined}
        onChange={(event) => props.onChange(event.currentTarget.value)}>
        {props.options.map(([value, words]) => <option key={value} value={value}>{words}</option>)}
      </select>
      {props.error && <p class="hint wrong">{props.error}</p>}
    </div>
  )
}

export function Tick(props: { label: string; value: boolean; onChange: (value: boolean) => void }) {
  return (
    <label class="tick">
      <input type="checkbox" checked={props.value} onChange={(event) => props.onChange(event.currentTarget.checked)} />
      <span>{props.label}</span>
    </label>
  )
}

/** A dialog that keeps the keyboard inside and gives it back afterwards. */
export function Dialog(props: { title: string; onClose: () => void; children: ComponentChildren; wide?: boolean }) {
  const self = useRef<HTMLDialogElement>(null)
  const id = useId()
  useEffect(() => {
    const dialog = self.current
    if (dialog && !dialog.open) dialog.showModal()
    return () => dialog?.close()
  }, [])
  return (
    <dialog ref={self} class={props.wide ? 'wide' : ''} aria-labelledby={id}
      onCancel={(event) => { event.preventDefault(); props.onClose() }}>
      <header><h2 id={id}>{props.title}</h2>
        <button type="button" class="quiet close" aria-label="close" onClick={props.onClose}>✕</button>
      </header>
      {props.children}
    </dialog>
  )
}

export function Bar(props: { share: number; label: string; over?: boolean }) {
  const share = Math.max(0, Math.min(1, props.share))
  return (
    <div class={props.over ? 'bar-box over' : 'bar-box'} role="img" aria-label={props.label}>
      <div style={{ width: `${share * 100}%` }} />
    </div>
  )
}

export function Working(props: { share: number; words: string; onCancel?: () => void }) {
  return (
    <div class="working" role="status">
      <progress value={props.share || undefined} max={1} aria-label="progress of the work" />
      <span>{props.words || 'working'}</span>
      {props.onCancel && <button type="button" class="quiet" onClick={props.onCancel}>Cancel</button>}
    </div>
  )
}

export function Empty(props: { children: ComponentChildren }) {
  return (
    <div class="empty">
      <svg viewBox="0 0 60 40" width="90" height="60" aria-hidden="true">
        <path d="M15 2 26 8.500v13L15 28 4 21.500v-13zM37 2 48 8.500v13L37 28 26 21.500v-13zM26 21.500 37 28v11" fill="none" stroke="currentColor" stroke-width="2" />
      </svg>
      <p>{props.children}</p>
    </div>
  )
}
