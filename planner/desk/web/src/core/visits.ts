// A call that wants its nest visited twice a day: which of its steps are of which visit.

/**
 * The steps of the first visit, and those of the second, or null while there is none to enter. The
 * first ends with its `done`; a call that is not to be visited again keeps all steps in the first.
 * Steps of one second, which is what the program keeps, stay in the order in which they are given.
 */
export function visitsOf<T extends { step: string; at: string }>(
  steps: T[],
  comesAgain: boolean,
): { first: T[]; second: T[] | null } {
  const second = (one: T): number => Math.floor(Date.parse(one.at) / 1000)
  const sorted = [...steps].sort((a, b) => second(a) - second(b))
  const end = sorted.findIndex((one) => one.step === 'done')
  if (!comesAgain || end < 0) return { first: sorted, second: null }
  return { first: sorted.slice(0, end + 1), second: sorted.slice(end + 1) }
}
