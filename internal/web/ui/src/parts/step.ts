// How far one step of a number goes, and where it has to stop.
import type { Field } from '../lib/api'

type Bounds = Pick<Field, 'sort' | 'step' | 'min' | 'above' | 'max'>

/** stepOf is the last written digit, but never so fine that a drag does not move,
 * and never so coarse that "1 m" could only become nothing or twice as much. */
export function stepOf(field: Bounds, was: number): number {
  if (field.sort === 'count') return 1
  const size = Math.log10(Math.abs(was))
  if (!Number.isFinite(size)) return Math.min(field.step, 0.1)
  return Math.min(Math.max(field.step, 10 ** Math.floor(size - 2.3)), 10 ** Math.floor(size - 0.6))
}

/** within rounds a number to so many places and keeps it inside the bounds of its
 * field, also where rounding would leave them. */
export function within(field: Bounds, v: number, places: number): number {
  const unit = 10 ** -places
  const up = (x: number): number => Number((Math.ceil(x / unit - 1e-9) * unit).toFixed(places))
  const down = (x: number): number => Number((Math.floor(x / unit + 1e-9) * unit).toFixed(places))
  let least = Number.NEGATIVE_INFINITY
  if (field.min != null) {
    least = up(field.min)
    if (field.above && least <= field.min) least = Number((least + unit).toFixed(places))
  }
  const most = field.max == null ? Number.POSITIVE_INFINITY : down(field.max)
  return Number(Math.min(most, Math.max(least, v)).toFixed(places))
}

/** stepped is a typed number one step further, in the unit that it was typed in; undefined where no number is typed. */
export function stepped(field: Bounds & Pick<Field, 'unit' | 'number'>, typed: string, way: number, by: { shiftKey: boolean; altKey: boolean }): string | undefined {
  const m = /^(\s*)([+-]?\d*(?:[.,]\d+)?)(?![.,\d])(.*)$/s.exec(typed)
  const [, before = '', number = '', after = ''] = m ?? []
  if (field.number == null || !/\d/.test(number)) return undefined
  const was = Number(number.replace(',', '.'))
  const written = /[.,](\d+)$/.exec(number)?.[1]?.length ?? 0
  const own = after.trim() === '' || after.trim() === field.unit
  const step = own ? stepOf(field, was) : 10 ** -written // bounds are known in the field’s own unit alone
  const fine = by.shiftKey && field.sort !== 'count'
  const digits = Math.max(written, Math.ceil(-Math.log10(step) - 1e-9)) + (fine ? 1 : 0)
  const places = field.sort === 'count' ? 0 : Math.min(6, digits)
  const to = was + way * step * (fine ? 0.1 : by.altKey ? 10 : 1)
  const next = (own ? within(field, to, places) : to).toFixed(places)
  return before + (number.includes(',') ? next.replace('.', ',') : next) + after
}
