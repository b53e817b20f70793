export const densityInks = ['#f6dfae', '#e9b872', '#cb8546', '#97502c', '#552414']
export const densityInk = (share: number): string =>
  densityInks[Math.min(densityInks.length - 1, Math.max(0, Math.floor(share * densityInks.length)))]!
