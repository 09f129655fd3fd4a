// Curves come packed: base64 of numbers of 32 bits, little-endian, NaN where there is none.
import type { Curves } from './api'

export type Points = readonly (number | null)[]
/** Drawn are a candidate's curves as they are drawn and read. */
export type Drawn = { readonly [K in keyof Curves]: Points }

export function points(packed: string): Points {
  const raw = atob(packed)
  const bytes = new DataView(new ArrayBuffer(raw.length))
  for (let i = 0; i < raw.length; i++) bytes.setUint8(i, raw.charCodeAt(i))
  const out: (number | null)[] = new Array<number | null>(raw.length >> 2)
  for (let i = 0; i < out.length; i++) {
    const y = bytes.getFloat32(4 * i, true)
    out[i] = Number.isNaN(y) ? null : y
  }
  return out
}

/** drawn unpacks all curves of a candidate. */
export function drawn(c: Curves): Drawn {
  return Object.fromEntries(Object.entries(c).map(([k, packed]) => [k, points(packed)])) as unknown as Drawn
}
