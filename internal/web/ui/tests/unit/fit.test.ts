import { describe, expect, it } from 'vitest'
import { columns, shortened } from '../../src/lib/fit'

describe('what has to find room', () => {
  const measure = (t: string): number => t.length
  it('stays whole where it fits, and ends with an ellipsis where not', () => {
    expect(shortened('tuned', 5, measure)).toBe('tuned')
    expect(shortened('a-very-long-name-of-a-candidate', 12, measure)).toBe('a-very-long…')
    expect(shortened('a-very-long-name', 8, measure)).toBe('a-very…') // no hyphen before the ellipsis
    expect(shortened('candidate', 0, measure)).toBe('c…')
  })
  it('columns are even, and none is narrower than the least', () => {
    expect(columns(6, 1080, 152, 20)).toBe(6)
    expect(columns(6, 690, 104, 14)).toBe(3) // five would fit: five and one look like a mistake
    expect(columns(1, 690, 104, 14)).toBe(1)
    expect(columns(7, 50, 104, 14)).toBe(1)
    expect(columns(0, 690, 104, 14)).toBe(1)
  })
})
