import { describe, expect, it } from 'vitest'
import { octaveMarks, spanAxis, tickText, timeMarks } from '../../src/loadings/axis'

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

describe('marks', () => {
  it('of an axis have no more digits than they need', () => {
    expect([-0.5, -1, -1.5, 1.6, 0, 110, 0.25].map(tickText)).toEqual(['\u22120.5', '\u22121', '\u22121.5', '1.6', '0', '110', '0.25'])
  })
  it('of time say their unit once, at the end', () => {
    expect(timeMarks(0, 200).map((m) => m.words)).toEqual(['0', '20', '40', '60', '80', '100', '120', '140', '160', '180', '200\u2009ms'])
    expect(timeMarks(-0.2, 200).map((m) => m.at)[1]).toBe(20)
    expect(timeMarks(-5, 80).map((m) => m.at)).toEqual([0, 10, 20, 30, 40, 50, 60, 70, 80])
  })
  it('of frequency are thirds, of which octaves are main', () => {
    const marks = octaveMarks(10, 2000)
    expect(marks.filter((m) => m.main).map((m) => m.words)).toEqual(['16', '31.5', '63', '125', '250', '500', '1k', '2k'])
    expect(marks.length).toBe(24)
  })
})
