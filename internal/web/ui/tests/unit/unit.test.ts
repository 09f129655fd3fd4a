import { describe, expect, it } from 'vitest'
import type { Field } from '../../src/lib/api'
import { headed } from '../../src/parts/unit'

const volume = (text: string, number: number, unit: string, si: number): Field => ({ path: 'v', text, number, unit, si, step: 0.1, min: 0.01 / (si / number / 1e-3), max: 1e5 / (si / number / 1e-3), sort: 'quantity', present: true }) as Field
const litres = { unit: 'L', per: 1e-3 }

describe('a value in a row that is headed with another unit', () => {
  const half = volume('0.5 ft3', 0.5, 'ft3', 0.5 * 0.028316846592)
  it('is a number in the row’s unit, with its limits', () => {
    const f = headed(half, litres)
    expect([f.text, f.number, f.unit, f.step]).toEqual(['14.2 L', 14.2, 'L', 0.1])
    expect(f.min).toBeCloseTo(0.01, 12)
    expect(f.max).toBeCloseTo(1e5, 6)
  })
  it('is written so that it can be typed', () => {
    expect(headed(volume('14 L', 14, 'L', 0.014), { unit: 'ft³', per: 0.028316846592 }).text).toBe('0.494 ft3')
    expect(headed(volume('1038 L', 1038, 'L', 1.038), { unit: 'dm³', per: 1e-3 }).text).toBe('1038 dm3')
  })
  it('is as it is in its own unit, and where the row has none', () => {
    for (const [f, row] of [[volume('28 L', 28, 'L', 0.028), litres], [half, undefined], [half, { unit: '', per: 0 }], [{ ...half, si: null }, litres]] as const) expect(headed(f, row)).toBe(f)
  })
})
