// A value that stands in a row with a unit of its own, as a number in that unit:
// what is shown, dragged, typed and read aloud must be one thing.
import type { Field } from '../lib/api'
import { decimals, unitWords } from '../lib/number'

/** Heading is the unit that a row is headed with, and that unit in SI. */
export interface Heading {
  unit: string
  per: number
}

/** asShown has as many digits as the row shows. */
function asShown(v: number): string {
  return Math.abs(v) >= 1000 ? v.toFixed(0) : v.toPrecision(3)
}

/** headed is a field with its numbers in the unit of its row; as it is, where it
 * is written in that unit or is no quantity. */
export function headed(f: Field, row: Heading | undefined): Field {
  if (!row || row.per <= 0 || f.si == null || !f.number || unitWords(f.unit) === row.unit) return f
  const text = asShown(f.si / row.per)
  if (/e/.test(text)) return f // too large or small for this unit to be of use
  const unit = row.unit.replace('²', '2').replace('³', '3').replace('Ω', 'ohm')
  const by = f.si / f.number / row.per
  const times = (v: number | null): number | null => (v == null ? null : v * by)
  return { ...f, unit, text: `${text} ${unit}`, number: Number(text), step: 10 ** -decimals(text), min: times(f.min), max: times(f.max) }
}
