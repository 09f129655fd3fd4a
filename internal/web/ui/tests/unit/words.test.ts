import { describe, expect, it } from 'vitest'
import { capital, freeName } from '../../src/lib/words'

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
