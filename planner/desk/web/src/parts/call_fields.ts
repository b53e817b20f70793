// The fields of a call that a person may change at the desk, in the order of the form.
export interface Editable {
  name: string
  words: string
  kind: 'text' | 'note' | 'length' | 'minutes' | 'list' | 'day' | 'choice' | 'yes'
  hint?: string
  options?: [string, string][]
}
export const nestKinds: [string, string][] = [
  ['unknown', 'not known'], ['ground', 'in the ground'], ['void', 'in a wall, floor or hollow'],
  ['aerial', 'hung free'],
]
export const editable: Editable[] = [
  { name: 'site_name', words: 'Where', kind: 'text' },
  { name: 'height_m', words: 'Height of the nest', kind: 'length', hint: 'like 8 ft or 2.5 m; below ground: -0.3 m' },
  { name: 'nest_kind', words: 'Kind of nest', kind: 'choice', options: nestKinds },
  { name: 'entrance', words: 'Way in', kind: 'text' },
  { name: 'not_before', words: 'Not before', kind: 'day' },
  { name: 'not_after', words: 'Last day', kind: 'day' },
  { name: 'allowed', words: 'Hours the client gave', kind: 'list', hint: 'like 08:00-12:00' },
  { name: 'second_after_min', words: 'Come again the same day, so long after', kind: 'minutes', hint: 'like 3 h or 150 min; empty: no second visit' },
  { name: 'second_min', words: 'Time the second visit takes', kind: 'minutes', hint: 'like 20 min; empty: as the settings say' },
  { name: 'must_take', words: 'Promised', kind: 'yes' },
  { name: 'allergic', words: 'Someone allergic there', kind: 'yes' },
  { name: 'near_door', words: 'Near a door or window in use', kind: 'yes' },
  { name: 'note', words: 'Note', kind: 'note' },
]
