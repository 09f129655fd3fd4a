import { describe, expect, it } from 'vitest'
import { capital, clauses, freeName, together } from '../../src/lib/words'

describe('words', () => {
  it('begin with a capital, and stay as they are where there is none', () => {
    expect(capital('über 3 mm')).toBe('Über 3 mm')
    expect(capital('')).toBe('')
  })
  it.each([
    ['own', [], 'own'],
    ['own', ['own'], 'own-2'],
    ['own', ['own', 'own-2', 'own-4'], 'own-3'],
    ['own', ['owner'], 'own'],
  ])('%s among %j is %s', (base, taken, want) => expect(freeName(base, taken)).toBe(want))
})

describe('a sentence with numbers', () => {
  it('parts no number from its unit', () => {
    expect(together('limit 12\u2009mm, by 4.3 dB, 2 strings of 2')).toBe('limit 12\u202fmm, by 4.3\u00a0dB, 2 strings of 2')
    expect(together('1 more, 10 mice')).toBe('1 more, 10 mice')
  })
  it('is parted at semicolons outside brackets', () => {
    expect(clauses('a (b; c); d; e')).toEqual(['a (b; c)', 'd', 'e'])
  })
})
