import { render } from 'preact'
import './look/paper.css'
import './look/rooms.css'
import { get } from './core/api'
import { followAddress } from './core/address'
import { connect } from './core/events'
import { keepMorning } from './core/morning'
import { keepSending } from './core/queue'
import { day, desk, online, rememberChoices, tellFailure } from './core/store'
import type { DeskState } from './core/types'
import { Shell } from './shell'

async function open(): Promise<void> {
  try {
    const state = await get<DeskState>('/api/state')
    desk.value = state
    day.value ||= state.on
    if (document.documentElement.lang === 'en' && navigator.language.startsWith('en')) {
      document.documentElement.lang = navigator.language
    }
  } catch (failure) {
    online.value = false
    tellFailure(failure)
    setTimeout(() => void open(), 2_000)
  }
}

rememberChoices()
followAddress()
keepMorning()
render(<Shell />, document.getElementById('desk')!)
void open()
connect()
keepSending()
if (import.meta.env.PROD && 'serviceWorker' in navigator) {
  navigator.serviceWorker.register('/sw.js').catch(() => {
    // A self-signed certificate may forbid it: the page then works while it stays open.
  })
}
