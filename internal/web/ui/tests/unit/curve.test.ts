import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { stops, trace } from '../../src/loadings/curve'

const axis = { lo: 60, hi: 100, log: false }
const height = 200

/** lines are those that a curve is drawn as. */
function lines(xs: number[], ys: (number | null)[], a = axis): [number, number][][] {
  const out: [number, number][][] = []
  const pen = {
    moveTo: (x: number, y: number) => void out.push([[x, y]]),
    lineTo: (x: number, y: number) => void out.at(-1)?.push([x, y]),
  }
  trace(pen, stops(xs, (x) => x), ys, a, height)
  return out
}
/** at is where a line is at x. */
function at(line: [number, number][], x: number): number {
  for (let k = 1; k < line.length; k++) {
    const [a, b] = [line[k - 1], line[k]]
    if (a && b && x >= a[0] && x <= b[0]) return a[1] + ((b[1] - a[1]) * (x - a[0])) / (b[0] - a[0])
  }
  return line[0]?.[1] ?? Number.NaN
}

describe('a curve as it is drawn', () => {
  const level = fc.double({ min: 55, max: 105, noNaN: true })
  it('passes every point by less than is seen', () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(level, fc.double({ min: 80, max: 80.2, noNaN: true })), { minLength: 2, maxLength: 80 }), (ys) => {
        const xs = ys.map((_, i) => 2.6 * i)
        const [line, ...more] = lines(xs, ys)
        expect(more).toHaveLength(0)
        for (const [i, y] of ys.entries()) expect(Math.abs(at(line ?? [], xs[i] ?? 0) - height * (1 - (y - 60) / 40))).toBeLessThan(0.0501)
      }),
    )
  })
  it('is one line where it is straight, from its first point to its last', () => {
    const xs = Array.from({ length: 400 }, (_, i) => i)
    const all = lines(xs, xs.map((x) => 70 + x / 16))
    expect(all).toHaveLength(1)
    expect(all[0]?.map(([x, y]) => [x, y.toFixed(6)])).toEqual([[0, '150.000000'], [399, '25.312500']])
  })
  it('has far fewer corners than a smooth curve has points', () => {
    const xs = Array.from({ length: 400 }, (_, i) => 2.64 * i)
    const [line] = lines(xs, xs.map((x) => 80 + 12 * Math.sin(x / 150)))
    expect(line?.length).toBeGreaterThan(20)
    expect(line?.length).toBeLessThan(130)
  })
  it('keeps the corner of a step and the tip of a needle', () => {
    const ys = Array.from({ length: 21 }, (_, i) => (i === 10 ? 95 : i > 15 ? 70 : 80))
    const [line] = lines(ys.map((_, i) => i), ys)
    for (const corner of [[9, 100], [10, 25], [11, 100], [15, 100], [16, 150]]) expect(line).toContainEqual(corner)
  })
  it('is broken where there is no number', () => {
    expect(lines([0, 1, 2, 3, 4, 5], [80, 80, null, Number.NaN, 70, 70])).toEqual([[[0, 100], [1, 100]], [[4, 150], [5, 150]]])
    expect(lines([0, 1], [null, null])).toEqual([])
    expect(lines([0, 1, 2], [80, 80])).toEqual([]) // which are not of these points
  })
  it('leaves the strip no farther than can be drawn', () => {
    const [line] = lines([0, 1], [80, -1e30])
    expect(line?.[1]?.[1]).toBe(10 * height)
    const log = lines([0, 1], [0, 1], { lo: 1, hi: 10, log: true })[0]
    expect(log).toEqual([[0, 10 * height], [1, height]])
  })
})
