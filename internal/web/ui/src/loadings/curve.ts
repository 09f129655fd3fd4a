// A curve as a line of few points: a drag draws dozens of curves many times a second, and
// what a line costs is its corners.
import type { Points } from '../lib/curves'
import { place, type Axis } from './axis'
import { some } from './read'

/** by how much a point may stand off the line that is drawn past it, px: less than can be seen */
const unseen = 0.05

/** Pen draws a line from corner to corner; a canvas and a path have it. */
export interface Pen {
  moveTo(x: number, y: number): void
  lineTo(x: number, y: number): void
}

/** stops are where points stand along a strip, px. */
export const stops = (xs: Points, along: (x: number) => number): Float64Array => Float64Array.from(xs, (v) => (some(v) ? along(v) : Number.NaN))

/**
 * trace draws a curve over stops in a strip of a height in px, broken where it has no value.
 * A corner is left out where one straight line passes it and all others since the last one:
 * the line's slope stays within what each point on the way allows.
 */
export function trace(pen: Pen, x: Float64Array, ys: Points, axis: Pick<Axis, 'lo' | 'hi' | 'log'>, height: number): void {
  const n = x.length
  if (ys.length !== n) return
  const far = 10 * height // of what leaves the strip only its direction is seen
  const y = (i: number): number => {
    const v = ys[i]
    return some(v) ? Math.min(far, Math.max(-far, height * (1 - place(axis, v)))) : Number.NaN
  }
  for (let i = 0; i < n; ) {
    let [x0, y0] = [x[i] ?? Number.NaN, y(i)] // the last corner
    if (Number.isNaN(x0 + y0)) {
      i++
      continue
    }
    pen.moveTo(x0, y0)
    let [x1, y1] = [x0, y0] // the last point
    let low = Number.NEGATIVE_INFINITY
    let high = Number.POSITIVE_INFINITY
    for (i++; i < n; i++) {
      const [xi, yi] = [x[i] ?? Number.NaN, y(i)]
      if (Number.isNaN(xi + yi)) break
      let slope = (yi - y0) / (xi - x0)
      if (!(slope >= low && slope <= high)) {
        pen.lineTo(x1, y1)
        ;[x0, y0] = [x1, y1]
        ;[low, high] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY]
        slope = (yi - y0) / (xi - x0)
      }
      const room = unseen / (xi - x0)
      low = Math.max(low, slope - room)
      high = Math.min(high, slope + room)
      ;[x1, y1] = [xi, yi]
    }
    if (x1 !== x0) pen.lineTo(x1, y1)
  }
}
