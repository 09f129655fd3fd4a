// Which colour and dash each candidate has: its place in the file when it was first
// seen, and that for good, where others are added, removed or moved and where it is
// renamed. The browser keeps it; without that it is the place in the file.

export type Looks = Readonly<Record<string, number>>

/** Looks of candidates that are gone are kept for an undo, but not without end. */
const mostKept = 64
/** As many have a colour of their own. */
const colours = 8

/** assigned are the looks of those that are there now, and of those that may come back. */
export function assigned(had: Looks, now: readonly string[], renamed: ReadonlyMap<string, string | undefined> = new Map()): Looks {
  const known = new Map(Object.entries(had).map(([n, look]) => [renamed.get(n) ?? n, look]))
  if (!now.some((n) => known.has(n))) known.clear() // another study under the same name
  const out = new Map<string, number>()
  const taken = new Set<number>()
  for (const n of now) {
    const look = known.get(n)
    if (look === undefined || taken.has(look)) continue
    out.set(n, look)
    taken.add(look)
  }
  const gone = [...known].filter(([n]) => !now.includes(n))
  const free = (not: (look: number) => boolean): number => {
    let look = 0
    while (not(look)) look++
    return look
  }
  for (const n of now) {
    if (out.has(n)) continue
    // what is gone may come back to its colour, while there is another
    const kept = free((k) => taken.has(k) || gone.some(([, g]) => g === k))
    const look = kept < colours ? kept : free((k) => taken.has(k))
    out.set(n, look)
    taken.add(look)
  }
  for (const [n, look] of gone.slice(-mostKept)) if (!taken.has(look)) out.set(n, look)
  return Object.fromEntries(out)
}

/** read takes what the browser has kept, whatever that is. */
export function read(kept: unknown): Looks {
  if (typeof kept !== 'object' || kept === null) return {}
  return Object.fromEntries(Object.entries(kept).filter((e): e is [string, number] => Number.isInteger(e[1]) && (e[1] as number) >= 0 && (e[1] as number) < 1000))
}

export const alike = (a: Looks, b: Looks): boolean => {
  const names = Object.keys(a)
  return names.length === Object.keys(b).length && names.every((n) => a[n] === b[n])
}
