// The profile of a duct, as points that are moved by hand. What a place in the
// drawing means is the server's to say (Course); here are only bounds and words.
import type { Change, Course, Field } from '../lib/api'
import { decimals } from '../lib/number'
import { within } from '../parts/step'

/** perOf is the unit that a number is written in, in SI; undefined where it stands at nothing. */
export function perOf(f: Field | undefined): number | undefined {
  return f?.si && f.number ? f.si / f.number : undefined
}

export const areaOf = (c: Course, half: number): number => c.factor * Math.max(0, half) ** c.power
export const halfOf = (c: Course, area: number): number => (area / c.factor) ** (1 / c.power)

/** placesOf is how many digits a number is written with, as fine as its steps. */
export function placesOf(f: Field, step: number, fine: boolean): number {
  return Math.min(6, Math.max(decimals(f.text), Math.ceil(-Math.log10(step) - 1e-9)) + (fine ? 1 : 0))
}

/** Neighbour is where another point stands, in the unit of this one; where it is barred, two would be no jump. */
export interface Neighbour {
  at: number
  barred: boolean
}

/** neighbours are those of a point: two may share a place inside a duct, which is a jump, but not at its ends, and not three. */
export function neighbours(ats: readonly number[], i: number): [Neighbour | undefined, Neighbour | undefined] {
  const last = ats.length - 1
  const [before, after] = [ats[i - 1], ats[i + 1]]
  return [
    before === undefined ? undefined : { at: before, barred: i === 1 || i === last || ats[i - 2] === before },
    after === undefined ? undefined : { at: after, barred: i === 0 || i === last - 1 || ats[i + 2] === after },
  ]
}

/** between keeps a point from its neighbours. */
export function between(f: Field, v: number, places: number, before?: Neighbour, after?: Neighbour): number {
  const unit = 10 ** -places
  let least = f.min ?? Number.NEGATIVE_INFINITY
  let above = f.above
  if (before && before.at >= least) [least, above] = [before.at, before.barred]
  let most = f.max ?? Number.POSITIVE_INFINITY
  if (after && after.at <= most) most = after.at - (after.barred ? unit / 2 : 0)
  const bounds = { ...f, min: Number.isFinite(least) ? least : null, max: Number.isFinite(most) ? most : null, above }
  return within(bounds, v, places)
}

const written = (si: number, like: Field, per: number): string => `${Number((si / per).toPrecision(3))} ${like.unit}`

/** added are the changes that put a point before the one at index, halfway to the one before it. */
export function added(profile: string, count: number, index: number, mark: { at: number; area: number }, at: Field, area: Field): Change[] {
  const one = `{at: ${written(mark.at, at, perOf(at) ?? 1)}, area: ${written(mark.area, area, perOf(area) ?? 1)}}`
  const last = `${profile}[${count}]`
  return [{ do: 'set', path: last, value: one }, ...(index < count ? [{ do: 'move', path: last, to: index } as const] : [])]
}

/** pointed are the changes that word a duct by points, the same duct; none where no points can. */
export function pointed(duct: string, field: (path: string) => Field | undefined): Change[] {
  const text = (key: string): string => {
    const f = field(`${duct}.${key}`)
    return f?.present ? f.text : ''
  }
  const [from, to] = text('area') ? [text('area'), text('area')] : [text('start'), text('end')]
  const flare = text('flare')
  const length = text('length')
  if (!from || !to || !length || text('profile') || !['', 'cone', 'parabolic', 'exponential'].includes(flare)) return []
  const unit = length.replace(/^[\d.,\s]+/, '')
  const changes: Change[] = [{ do: 'set', path: `${duct}.profile`, value: `[{at: 0 ${unit}, area: ${from}}, {at: ${length}, area: ${to}}]` }]
  if (flare && flare !== 'cone') changes.push({ do: 'set', path: `${duct}.between`, value: flare })
  for (const key of ['length', 'area', 'start', 'end', 'flare']) if (text(key)) changes.push({ do: 'remove', path: `${duct}.${key}` })
  return changes
}
