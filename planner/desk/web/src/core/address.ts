// The page's address holds the room, the day and what is looked at, so that a reload and the
// browser's back button do what one expects.
import { effect } from '@preact/signals'
import { chosen, day, detail, room, type RoomName } from './store'
import { isDay } from './dates'

export const roomNames: RoomName[] = ['morning', 'season', 'brood', 'freezer', 'intake', 'visit']

export function readAddress(hash: string): { room: RoomName; on: string; detail: string } {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?')
  const [name = '', ...rest] = path.split('/')
  const on = new URLSearchParams(query).get('on') ?? ''
  return {
    room: roomNames.includes(name as RoomName) ? (name as RoomName) : 'morning',
    on: isDay(on) ? on : '',
    detail: decodeURIComponent(rest.join('/')),
  }
}
export function go(to: RoomName, what = ''): void {
  const path = what ? `${to}/${encodeURIComponent(what)}` : to
  location.hash = `#/${path}${day.value ? `?on=${day.value}` : ''}`
}
export function followAddress(): void {
  const read = (): void => {
    const address = readAddress(location.hash)
    if (room.value !== address.room) chosen.value = ''
    room.value = address.room
    detail.value = address.detail
    if (address.on) day.value = address.on
  }
  read()
  addEventListener('hashchange', read)
  effect(() => {
    if (!day.value) return
    const address = readAddress(location.hash)
    if (address.on === day.value) return
    const path = address.detail ? `${address.room}/${encodeURIComponent(address.detail)}` : address.room
    history.replaceState(null, '', `#/${path}?on=${day.value}`)
  })
}
