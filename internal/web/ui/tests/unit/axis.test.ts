import { describe, expect, it } from 'vitest'
import { spanAxis } from '../../src/loadings/axis'

describe('an axis of differences', () => {
  it.each([
    [-48, 40],
    [-60, 60],
    [-9.9, 2],
    [0, 3],
    [-0.4, 0.1],
  ])('from %d to %d has marks to read by', (lo, hi) => {
    const { ticks } = spanAxis([[lo, hi]])
    expect(ticks).toContain(0)
    expect(ticks.length).toBeGreaterThan(2)
    expect(ticks.length).toBeLessThan(7)
  })
})
