// The mark of a nest. Outline: the wasp, as on the printed sheets. Inside: a comb cell that fills
// as the colony goes through its year. Read without colour; the colours are a second hint, chosen
// so that they stay apart for people who see red and green alike.
export type Outline = 'disc' | 'drop' | 'square' | 'cell' | 'diamond'

/** Paths in a box of 24 by 24. */
export const outlines: Record<Outline, string> = {
  disc: 'M12 1.500a10.500 10.500 0 1 1 0 21a10.500 10.500 0 1 1 0-21z',
  drop: 'M12 0.500C14 4 21.500 8.500 21.500 14a9.500 9.200 0 0 1-19 0C2.500 8.500 10 4 12 0.500z',
  square: 'M3.500 2h17a1.500 1.500 0 0 1 1.500 1.500v17a1.500 1.500 0 0 1-1.500 1.500h-17a1.500 1.500 0 0 1-1.500-1.500v-17a1.500 1.500 0 0 1 1.500-1.500z',
  cell: 'M12 0.700 22 6.400v11.200L12 23.300 2 17.600V6.400z',
  diamond: 'M12 0.500 23.500 12 12 23.500 0.500 12z',
}

const genera: Record<string, Outline> = {
  Vespula: 'disc', Dolichovespula: 'drop', Vespa: 'square', Polistes: 'cell',
}
export const genusOf = (speciesName: string): string => speciesName.split(' ')[0] ?? ''
export const outlineOf = (speciesName: string): Outline =>
  genera[genusOf(speciesName)] ?? 'diamond'

export const inks: Record<Outline, [light: string, dark: string]> = {
  disc: ['#a35c00', '#f0b04a'],
  drop: ['#1f5f99', '#7db8ec'],
  square: ['#8d2f4f', '#f08fb0'],
  cell: ['#0b6b5c', '#5fd0bb'],
  diamond: ['#565b60', '#b9bec3'],
}

/** How far the comb cell is filled, 0 to 1, and whether it is broken. */
export function filling(stage: string): { level: number; broken: boolean } {
  const word = stage.toLowerCase()
  if (word.startsWith('decline')) return { level: 1, broken: true }
  if (word.startsWith('over')) return { level: 0, broken: true }
  if (word.startsWith('raising') || word.startsWith('reproduct')) return { level: 1, broken: false }
  if (word.startsWith('build')) return { level: 0.5, broken: false }
  if (word.startsWith('first')) return { level: 0.25, broken: false }
  return { level: 0, broken: false }
}

const comb: [number, number][] = [
  [12, 5.5], [17.6, 8.75], [17.6, 15.25], [12, 18.5], [6.4, 15.25], [6.4, 8.75],
]
const path = (points: [number, number][]): string =>
  points.length < 3 ? '' : 'M' + points.map(([x, y]) => `${+x.toFixed(2)} ${+y.toFixed(2)}`).join('L') + 'z'
export const combPath = path(comb)

/** The part of the comb cell below a level, cut straight. */
export function combFilled(level: number): string {
  if (level <= 0) return ''
  const top = 18.5 - 13 * Math.min(1, level)
  const kept: [number, number][] = []
  comb.forEach((from, index) => {
    const to = comb[(index + 1) % comb.length]!
    if (from[1] >= top) kept.push(from)
    if (from[1] >= top !== to[1] >= top) {
      const share = (top - from[1]) / (to[1] - from[1])
      kept.push([from[0] + share * (to[0] - from[0]), top])
    }
  })
  return path(kept)
}

export const crewInks: [light: string, dark: string][] = [
  ['#1a4f8b', '#7fb3ee'], ['#b93a06', '#ff9a66'], ['#6b2c7b', '#d49be3'], ['#0f6f63', '#58cdbb'],
]
export const crewInk = (index: number, dark: boolean): string =>
  crewInks[index % crewInks.length]![dark ? 1 : 0]
export const crewLetter = (index: number): string => String.fromCharCode(65 + (index % 26))
