// Curves come packed: base64 of numbers of 32 bits, little-endian, NaN where there is none.
// They stay such numbers: as objects of the language's own they were most of what a drag left to be collected.
import type { Curves } from './api'

/** Points are the numbers of a curve; where there is none, NaN or null. */
export type Points = ArrayLike<number | null>
/** Drawn are a candidate's curves as they are drawn and read. */
export type Drawn = { readonly [K in keyof Curves]: Points }

export function points(packed: string): Float32Array {
  const bytes = 'fromBase64' in Uint8Array ? (Uint8Array as unknown as { fromBase64(s: string): Uint8Array<ArrayBuffer> }).fromBase64(packed) : decoded(packed)
  return new Float32Array(bytes.buffer) // every machine with a browser has the low byte first
}

/** decoded is for browsers that cannot yet do it themselves. */
export function decoded(base64: string): Uint8Array<ArrayBuffer> {
  const raw = atob(base64)
  const out = new Uint8Array(raw.length)
  for (let i = 0; i < raw.length; i++) out[i] = raw.charCodeAt(i)
  return out
}

/** drawn unpacks all curves of a candidate; one that is as it was before stays the same, and is not drawn again. */
export function drawn(c: Curves, before?: Drawn): Drawn {
  const entries = (Object.keys(c) as (keyof Curves)[]).map((k) => {
    const [was, now] = [before?.[k], points(c[k])]
    return [k, was && alike(was, now) ? was : now] as const
  })
  return Object.fromEntries(entries) as Record<keyof Curves, Points>
}

function alike(a: Points, b: Points): boolean {
  if (a.length !== b.length) return false
  for (let i = 0; i < a.length; i++) if (!Object.is(a[i], b[i])) return false
  return true
}
