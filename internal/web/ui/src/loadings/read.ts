// Reading curves: between two points on a logarithmic frequency axis, and against
// the yardstick.

import type { Points } from '../lib/curves'
export type { Points }

/** some tells whether there is a number. */
export const some = (v: number | null | undefined): v is number => v != null && !Number.isNaN(v)

/** read is a curve's value at x; null where it has none. */
export function read(xs: Points, ys: Points, x: number): number | null {
  const n = xs.length
  if (n === 0 || ys.length < n) return null
  let lo = 0
  let hi = n - 1
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1
    if ((xs[mid] ?? 0) <= x) lo = mid
    else hi = mid
  }
  const [x0, x1, y0, y1] = [xs[lo], xs[hi], ys[lo], ys[hi]]
  if (!some(x0) || !some(x1) || !some(y0) || !some(y1)) return null
  if (x <= x0) return y0
  if (x >= x1) return y1
  return y0 + ((y1 - y0) * Math.log(x / x0)) / Math.log(x1 / x0)
}

/** against is a curve told against the yardstick's: a ratio where the axis is one, else a difference. */
export function against(ys: Points, yardstick: Points, ratio: boolean): Points {
  return Float32Array.from(ys, (y, i) => {
    const z = yardstick[i]
    if (y == null || z == null) return Number.NaN
    return ratio ? y / z : y - z
  })
}

/** stepAlong moves along the axis by parts of an octave. */
export function stepAlong(f: number, octaves: number, from: number, to: number): number {
  return Math.min(to, Math.max(from, f * 2 ** octaves))
}
