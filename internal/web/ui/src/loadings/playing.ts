// How long a noise plays in the figure of heat, and with which rests.

/** s, in words */
export const spans = [
  [600, '10 min'],
  [3600, '1 h'],
  [18000, '5 h'],
] as const

/** s that it plays, and s that it rests, in turn */
export const rests: Readonly<Record<string, readonly [number, number]>> = { '20/40': [20, 40], '60/60': [60, 60], '300/300': [300, 300] }
export const restWords = (r: string): string => `${r.replace('/', ' s of it and ')} s of rest in turn`
