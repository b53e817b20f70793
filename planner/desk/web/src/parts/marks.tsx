import { dark } from '../core/store'
import { combFilled, combPath, crewInk, filling, inks, outlineOf, outlines } from '../core/shapes'

/** The mark of a nest as on the map. It is a picture beside words that say the same. */
export function NestMark(props: { speciesName: string; stage: string; size?: number }) {
  const outline = outlineOf(props.speciesName)
  const ink = inks[outline][dark.value ? 1 : 0]
  const { level, broken } = filling(props.stage)
  const size = props.size ?? 26
  return (
    <svg class="nest-mark" viewBox="-1 -1 26 26" width={`${size / 16}rem`} height={`${size / 16}rem`} aria-hidden="true">
      <path d={outlines[outline]} fill="var(--paper)" stroke={ink} stroke-width="2" />
      <g transform={outline === 'drop' ? 'translate(0 2)' : undefined}>
        {level > 0 && <path d={combFilled(level)} fill={ink} />}
        <path d={combPath} fill="none" stroke={ink} stroke-width="1.2" />
        {broken && <path d="M7 17 17 7" stroke={level > 0 ? 'var(--paper)' : ink} stroke-width="2.4" />}
      </g>
    </svg>
  )
}

export function CombIcon(props: { stage: string }) {
  const { level, broken } = filling(props.stage)
  return (
    <svg viewBox="4 3 16 18" width="18" height="20" aria-hidden="true">
      {level > 0 && <path d={combFilled(level)} fill="currentColor" />}
      <path d={combPath} fill="none" stroke="currentColor" stroke-width="1.4" />
      {broken && <path d="M7 17 17 7" stroke={level > 0 ? 'var(--paper)' : 'currentColor'} stroke-width="2.4" />}
    </svg>
  )
}

export function StopMark(props: { index: number; words: string; speciesName: string; size?: number }) {
  const outline = outlineOf(props.speciesName)
  const size = props.size ?? 30
  return (
    <svg class="nest-mark" viewBox="-1 -1 26 26" width={`${size / 16}rem`} height={`${size / 16}rem`} aria-hidden="true">
      <path d={outlines[outline]} fill={crewInk(props.index, dark.value)} />
      <text x="12" y={outline === 'drop' ? 17.4 : 15.9} text-anchor="middle" font-weight="700"
        font-size={props.words.length > 2 ? 8.5 : 10.5} fill={dark.value ? '#10161a' : '#fff'}>{props.words}</text>
    </svg>
  )
}

const rooms: Record<string, string> = {
  morning: 'M3 17h18M6.500 17a5.500 5.500 0 0 1 11 0M12 5v3M4.500 9.500l2 1.800M19.500 9.500l-2 1.800',
  season: 'M4 4v16h16M5.500 17c3 0 3.500-9 7-9s3.500 6 7 6',
  brood: 'M12 3 19 7v8.500L12 20 5 15.500V7zM9.500 11.500a2.500 2.800 0 1 0 5 0a2.500 2.800 0 1 0-5 0',
  freezer: 'M12 3v18M4.200 7.500l15.600 9M19.800 7.500l-15.600 9M9.500 4.500 12 7l2.500-2.500M9.500 19.500 12 17l2.500 2.500',
  intake: 'M5 3.500h9l5 5v12H5zM14 3.500v5h5M9 15h6M12 12v6',
  visit: 'M8 3v18M16 3v18M8 7h8M8 11.500h8M8 16h8',
}
export function RoomIcon(props: { room: string }) {
  return (
    <svg class="room-icon" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">
      <path d={rooms[props.room]} fill="none" stroke="currentColor" stroke-width="1.9" stroke-linecap="round" stroke-linejoin="round" />
    </svg>
  )
}
