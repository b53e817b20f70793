// Two people changed the same call: which fields stand against each other.
export type Record_ = Record<string, unknown>
export interface Clash {
  field: string
  was: unknown
  mine: unknown
  theirs: unknown
}
const same = (a: unknown, b: unknown): boolean =>
  JSON.stringify(a ?? null) === JSON.stringify(b ?? null)

/** The fields that I changed from what I had read. */
export function changedFields(was: Record_, mine: Record_): Record_ {
  return Object.fromEntries(Object.entries(mine).filter(([field, value]) => !same(value, was[field])))
}
/** Fields that both changed, and not to the same. */
export function clashes(was: Record_, mine: Record_, theirs: Record_): Clash[] {
  return Object.entries(mine)
    .filter(([field, value]) => !same(theirs[field], was[field]) && !same(theirs[field], value))
    .map(([field, value]) => ({ field, was: was[field], mine: value, theirs: theirs[field] }))
}
/** What to send once each clash was settled. */
export function settle(mine: Record_, theirs: Record_, choice: Record<string, 'mine' | 'theirs'>): Record_ {
  return Object.fromEntries(
    Object.entries(mine).filter(
      ([field, value]) => choice[field] !== 'theirs' && !same(value, theirs[field]),
    ),
  )
}
