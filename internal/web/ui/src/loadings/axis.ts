// Axes of the strips: ranges that stay put while a number is dragged, and few
// ticks that can be read.

import type { Points } from '../lib/curves'

/** Nominal frequencies of thirds of an octave, ISO 266. */
const thirdsOfADecade = [10, 12.5, 16, 20, 25, 31.5, 40, 50, 63, 80]

export function thirds(from: number, to: number): number[] {
  const out: number[] = []
  for (let decade = 10 ** Math.floor(Math.log10(from) - 1); decade <= to; decade *= 10)
    for (const f of thirdsOfADecade) {
      const v = Number(((f / 10) * decade).toPrecision(3))
      if (v >= from * 0.999 && v <= to * 1.001) out.push(v)
    }
  return out
}

/** Every third one of them is an octave: 16, 31.5, 63, 125 … */
const octaves = new Set([1, 2, 4, 8, 16, 31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000])
const isOctave = (f: number): boolean => octaves.has(f)

export interface Axis {
  lo: number
  hi: number
  log: boolean
  ticks: number[]
  fine: number[]
}

/** place is where a value stands, 0 at the lower end and 1 at the upper. */
export function place(a: Pick<Axis, 'lo' | 'hi' | 'log'>, v: number): number {
  return a.log ? Math.log(v / a.lo) / Math.log(a.hi / a.lo) : (v - a.lo) / (a.hi - a.lo)
}

type Values = readonly Points[]

function extremes(curves: Values): [number, number] {
  let lo = Number.POSITIVE_INFINITY
  let hi = Number.NEGATIVE_INFINITY
  for (const c of curves)
    for (let i = 0; i < c.length; i++) {
      const v = c[i]
      if (v == null) continue
      if (v < lo) lo = v // which no NaN is
      if (v > hi) hi = v
    }
  return [lo, hi]
}

/** niceStep is 1, 2 or 5 times a power of ten, with at most n steps in the span. */
function niceStep(span: number, n: number): number {
  const raw = span / n
  const power = 10 ** Math.floor(Math.log10(raw))
  for (const k of [1, 2, 5]) if (k * power >= raw * 0.999999) return k * power
  return 10 * power
}

function steps(lo: number, hi: number, step: number): number[] {
  const out: number[] = []
  for (let k = Math.ceil(lo / step - 1e-9); k * step <= hi + step * 1e-9; k++) out.push(Number((k * step).toPrecision(12)))
  return out
}

/** Mark is where an axis along the foot is marked: a main one has a line through the plot and its words always. */
export interface Mark {
  at: number
  main: boolean
  words: string
}

/** octaveMarks are those of a frequency axis, thirds of an octave. */
export const octaveMarks = (from: number, to: number): Mark[] => thirds(from, to).map((f) => ({ at: f, main: isOctave(f), words: f >= 1000 ? `${f / 1000}k` : String(f) }))

/** timeMarks are those of a time axis in ms, of which the last says so. */
export function timeMarks(from: number, to: number): Mark[] {
  const all = steps(from, to, niceStep(to - from, 12))
  return all.map((t, k) => ({ at: t, main: true, words: k === all.length - 1 ? `${t}\u2009ms` : String(t) }))
}

/** tickText writes a value beside an axis with no more digits than it needs. */
export const tickText = (v: number): string => String(Number(v.toPrecision(3))).replace('-', '\u2212')

/** levelAxis shows 40 dB below the multiple of 5 dB that clears the highest level. */
export function levelAxis(curves: Values): Axis {
  const [, top] = extremes(curves)
  const hi = Number.isFinite(top) ? Math.ceil((top + 2) / 5) * 5 : 110
  return { lo: hi - 40, hi, log: false, ticks: steps(hi - 40, hi - 1, 10), fine: steps(hi - 40, hi, 5) }
}

/** riseAxis begins at 0 and shows the limit with room above, but not what lies far beyond it. */
export function riseAxis(curves: Values, limit: number | null): Axis {
  let [, top] = extremes(curves)
  if (!Number.isFinite(top) || top <= 0) top = limit ?? 1
  let hi = top * 1.05
  if (limit != null) hi = Math.min(Math.max(hi, limit * 1.3), limit * 1.8)
  const step = niceStep(hi, 3)
  hi = limit == null ? Math.ceil(hi / step) * step : hi
  let ticks = steps(0, hi * 0.98, step)
  if (limit != null) ticks = [...ticks.filter((t) => Math.abs(t - limit) > hi * 0.17), limit]
  return { lo: 0, hi, log: false, ticks, fine: [] }
}

/** ratioAxis is logarithmic with marks at 1, 2 and 5. */
export function ratioAxis(curves: Values, limit: number | null): Axis {
  let [lo, hi] = extremes(curves)
  if (!Number.isFinite(lo) || lo <= 0) [lo, hi] = [1, 100]
  if (limit != null) lo = Math.min(lo, limit)
  lo *= 0.8
  hi *= 1.15
  const all: number[] = []
  for (let power = 10 ** Math.floor(Math.log10(lo)); power <= hi; power *= 10) for (const k of [1, 2, 5]) if (k * power >= lo && k * power <= hi) all.push(Number((k * power).toPrecision(3)))
  const far = (t: number) => limit == null || Math.abs(Math.log(t / limit)) > 0.2 * Math.log(hi / lo)
  let ticks = all.filter((t) => far(t))
  while (ticks.length > 3) ticks = ticks.filter((_, i) => i % 2 === 0)
  return { lo, hi, log: true, ticks: limit == null ? ticks : [...ticks, limit], fine: all }
}

/** phaseAxis is the whole range of a passive load. */
export const phaseAxis: Axis = { lo: -90, hi: 90, log: false, ticks: [-90, -45, 0, 45, 90], fine: [] }

/** spanAxis shows all there is, with 0. */
export function spanAxis(curves: Values): Axis {
  let [lo, hi] = extremes(curves)
  if (!Number.isFinite(lo)) [lo, hi] = [-1, 1]
  lo = Math.min(lo, 0)
  hi = Math.max(hi, 0)
  if (hi - lo < 1e-9) [lo, hi] = [lo - 1, hi + 1]
  const room = 0.08 * (hi - lo)
  let ticks: number[] = []
  for (let n = 3; n < 8 && ticks.length < 3; n++) ticks = steps(lo, hi, niceStep(hi - lo, n)) // 0 may stand so that few of a step fit
  return { lo: lo - room, hi: hi + room, log: false, ticks, fine: [] }
}

/** spread moves labels apart that would touch and keeps their order. */
export function spread(ys: readonly number[], gap: number, lo: number, hi: number): number[] {
  const order = ys.map((y, i) => ({ y, i })).sort((a, b) => a.y - b.y || a.i - b.i)
  const at: number[] = []
  for (const [k, e] of order.entries()) at.push(Math.max(e.y, k === 0 ? lo : (at[k - 1] ?? lo) + gap))
  for (let k = at.length - 1; k >= 0; k--) {
    const below = k === at.length - 1 ? hi : (at[k + 1] ?? hi) - gap
    at[k] = Math.min(at[k] ?? lo, below)
  }
  const out: number[] = new Array(ys.length).fill(0)
  for (const [k, e] of order.entries()) out[e.i] = at[k] ?? 0
  return out
}
