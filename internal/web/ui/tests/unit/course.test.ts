import { describe, expect, it } from 'vitest'
import type { Course, Field } from '../../src/lib/api'
import { added, areaOf, between, halfOf, neighbours, perOf, placesOf, pointed } from '../../src/loadings/course'

const field = (text: string, si: number, more: Partial<Field> = {}): Field => {
  const [number = '', unit = ''] = text.split(' ')
  return { text, number: Number(number), unit, si, present: true, sort: 'quantity', step: 0.1, min: null, above: false, max: null, ...more } as Field
}

describe('a place in the drawing', () => {
  it.each([[2, 3.5e-6], [1, 2e-4]])('and its area are one the other, by the power %i', (power, factor) => {
    const c = { power, factor } as Course
    for (const half of [3, 44.5, 200]) expect(halfOf(c, areaOf(c, half))).toBeCloseTo(half, 9)
    expect(areaOf(c, -5)).toBe(0) // a hand beyond the axis
  })
})

describe('a point', () => {
  it('stays between its neighbours, also where rounding would pass them', () => {
    const f = field('0.5 m', 0.5)
    const near = (at: number, barred = false) => ({ at, barred })
    expect(between(f, 0.2, 2, near(0.333), near(1.1))).toBe(0.34)
    expect(between(f, 2, 2, near(0.333), near(1.117))).toBe(1.11)
    expect(between(f, 0, 2, near(0.3), near(1.1))).toBe(0.3)
    expect(between(f, 0, 2, near(0.3, true), near(1.1))).toBe(0.31)
    expect(between(f, 2, 2, near(0.3), near(1.1, true))).toBe(1.09)
    expect(between(f, 2, 1, near(0.3), near(1.117, true))).toBe(1)
    expect(between(f, 0.5, 2)).toBe(0.5)
    expect(between(field('20 in', 0.508, { min: 0, above: true }), -3, 1, near(4))).toBe(4)
  })
  it('shares a place with one other, and with none at an end', () => {
    const ats = [0, 1, 1, 2, 3]
    const barred = ats.map((_, i) => neighbours(ats, i).map((n) => n?.barred))
    expect(barred).toEqual([[undefined, true], [true, false], [false, false], [true, true], [true, undefined]])
  })
  it('is written as fine as its step', () => {
    expect(placesOf(field('0.5 m', 0.5), 0.01, false)).toBe(2)
    expect(placesOf(field('0.512 m', 0.512), 0.01, false)).toBe(3)
    expect(placesOf(field('60 cm2', 0.006), 1, true)).toBe(1)
  })
  it('says its unit by its number, but not at nothing', () => {
    expect(perOf(field('20 in', 0.508))).toBeCloseTo(0.0254, 12)
    expect(perOf(field('0 m', 0))).toBeUndefined()
  })
  it('comes in before another, in that one’s units', () => {
    const [at, area] = [field('20 in', 0.508), field('31 in2', 0.02)]
    const mark = { at: 0.254, area: 0.01 }
    expect(added('p', 3, 1, mark, at, area)).toEqual([
      { do: 'set', path: 'p[3]', value: '{at: 10 in, area: 15.5 in2}' },
      { do: 'move', path: 'p[3]', to: 1 },
    ])
    expect(added('p', 3, 3, mark, at, area)).toHaveLength(1)
  })
})

describe('a duct worded by its ends', () => {
  const of = (texts: Record<string, string>) => pointed('d', (path) => {
    const text = texts[path.slice(2)]
    return text === undefined ? undefined : ({ text, present: true } as Field)
  })
  it('is the same through points', () => {
    expect(of({ length: '1.8 m', area: '80 cm2' })).toEqual([
      { do: 'set', path: 'd.profile', value: '[{at: 0 m, area: 80 cm2}, {at: 1.8 m, area: 80 cm2}]' },
      { do: 'remove', path: 'd.length' },
      { do: 'remove', path: 'd.area' },
    ])
    expect(of({ length: '70 in', start: '9 in2', end: '90 in2', flare: 'parabolic' })[1]).toEqual({ do: 'set', path: 'd.between', value: 'parabolic' })
    expect(of({ length: '2 m', start: '80 cm2', end: '90 cm2', flare: 'cone' }).some((c) => c.path === 'd.between')).toBe(false)
  })
  it('is left where its flare has no points', () => {
    expect(of({ length: '1.4 m', start: '80 cm2', end: '900 cm2', flare: 'hyperbolic' })).toEqual([])
    expect(of({ start: '80 cm2', end: '900 cm2', flare: 'tractrix' })).toEqual([])
  })
})
