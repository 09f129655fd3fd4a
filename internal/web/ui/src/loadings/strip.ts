import type { components } from '../api.gen'
import { type Axis, levelAxis, phaseAxis, ratioAxis, riseAxis, spanAxis } from './axis'
import type { Drawn } from '../lib/curves'
import { against, type Points } from './read'
import { digits, fixed, signed } from '../lib/number'
import { looks } from '../lines.gen'

export type Strip = components['schemas']['Strip']
export type Key = Strip['key']

/** Line is one curve in a strip. */
export interface Line {
  index: number
  name: string
  ys: Points
  ghost?: Points
}

/** the curve of a strip; empty where the candidate has none. */
export const curveOf = (c: Drawn, key: Key): Points => c[key]

/** Sizes of a strip, px. */
export const heights = { tall: 224, low: 88, lone: 56, name: 16, folded: 24, apart: 8, foot: 26 }

/** differing says how a strip names the difference from the yardstick. */
export function differing(s: Strip, yardstick: string): string {
  if (s.log) return `times ${yardstick}`
  return `${s.unit.split(' ')[0] ?? ''}, from ${yardstick}`
}

export function axisOf(s: Strip, lines: readonly Line[], apart: boolean): Axis {
  const curves = lines.map((l) => l.ys)
  if (apart) return s.log ? ratioAxis(curves, null) : spanAxis(curves)
  const limit = s.limit ?? null
  switch (s.key) {
    case 'level':
    case 'plain-level':
    case 'greatest':
      return levelAxis(curves)
    case 'phase':
      return phaseAxis
    case 'step':
      return spanAxis(curves)
    case 'impedance':
      return ratioAxis(curves, limit)
    default:
      return riseAxis(curves, limit)
  }
}

const decibels = (s: Strip): boolean => s.key === 'level' || s.key === 'plain-level' || s.key === 'greatest'

/** shown writes a value of a strip at the hairline. */
export function shown(s: Strip, v: number | null, apart: boolean): string {
  if (v == null) return ''
  if (apart) return s.log ? digits(v) : decibels(s) ? signed(v, 1) : signed(v, 2)
  return decibels(s) ? fixed(v, 1) : digits(v)
}

/** difference takes the yardstick's curve from a line's, as report/against.go does for files. It is done here
 * too because the answers to a drag hold only the curves that have changed: where the yardstick moves, a server
 * that took the difference would have to send every candidate's curves with every move of the hand. */
export function difference(s: Strip, line: Line, yardstick: Points): Line {
  return { ...line, ys: against(line.ys, yardstick, s.log) }
}

/** look is how a candidate is drawn, in the page as in figures: see state/looks.ts. */
const look = (index: number): (typeof looks)[number] => looks[index % looks.length] ?? [1, [], false]

/** dash is a candidate's pattern at a line width. */
export const dash = (index: number, width: number): number[] => look(index)[1].map((d) => (d * width) / 2)
export const colour = (index: number): string => `--c${look(index)[0]}`
export const dotted = (index: number): boolean => look(index)[2]
