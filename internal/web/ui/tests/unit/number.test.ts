import { describe, expect, it } from 'vitest'
import { decimals, digits, fixed, printed, signed, unitWords } from '../../src/lib/number'

describe('numbers are written as the program writes them', () => {
  it.each([
    [0, 3, '0'],
    [28, 3, '28.0'],
    [0.71449, 3, '0.714'],
    [1234.4, 3, '1230'],
    [1234.4, 4, '1234'],
    [-6.006, 3, '−6.01'],
    [99.96, 3, '100'],
    [9.996, 3, '10.0'],
    [0.09996, 3, '0.100'],
    [1000, 3, '1000'],
  ])('digits(%d, %d) is %s', (v, n, text) => expect(digits(v, n)).toBe(text))

  it.each([
    [-0.04, 1, '0.0'],
    [-0.06, 1, '−0.1'],
    [102.25, 1, '102.3'],
    [2, 0, '2'],
  ])('fixed(%d, %d) is %s', (v, n, text) => expect(fixed(v, n)).toBe(text))

  it('says that a number does not exist, and never NaN or Inf', () => {
    for (const v of [null, undefined, Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]) {
      expect(digits(v)).toBe('–')
      expect(fixed(v)).toBe('–')
      expect(signed(v)).toBe('–')
    }
  })

  it('gives a difference its sign, and none to what rounds to nothing', () => {
    expect(signed(1.25, 1)).toBe('+1.3')
    expect(signed(-1.25, 1)).toBe('−1.3')
    expect(signed(0.04, 1)).toBe('0.0')
    expect(signed(-0.04, 1)).toBe('0.0')
  })

  it.each([
    ['28 L', 0],
    ['26.00 Hz', 2],
    ['0,5 ft3', 1],
    ['-0.25', 2],
    ['.5 L', 1],
    ['xmax', 0],
    ['12 1/4 in', 2],
    ['11 1/8 inch', 3],
    ['3/16 in', 4],
    ['5e-4 H', 4],
    ['1.25e-3 H', 5],
    ['1.5E3 W', 0],
  ])('decimals of %s are %d', (text, n) => expect(decimals(text)).toBe(n))

  it.each([
    ['ohm', 'Ω'],
    ['cm2', 'cm²'],
    ['ft3', 'ft³'],
    ['kg/m3', 'kg/m³'],
    ['uF', 'µF'],
    ['us', 'µs'],
    ['kohm', 'kΩ'],
    ['mohm', 'mΩ'],
    ['um', 'µm'],
    ['EUR', 'EUR'],
    ['C', '°C'],
    ['T m', 'T\u00a0m'],
    ['mm/N', 'mm/N'],
  ])('the unit %s is printed %s', (u, text) => expect(unitWords(u)).toBe(text))

  it('prints a value as written', () => {
    expect(printed('2 ohm')).toBe('2\u2009Ω')
    expect(printed('-3 dB')).toBe('−3\u2009dB')
    expect(printed('4.9')).toBe('4.9')
    expect(printed('xmax')).toBe('xmax')
  })
})
