import { describe, expect, it } from 'vitest'
import { drawn, points } from '../../src/lib/curves'
import type { Curves } from '../../src/lib/api'

const packed = (...ys: number[]): string => btoa(String.fromCharCode(...new Uint8Array(new Float32Array(ys).buffer)))

describe('packed curves', () => {
  it('come out as they went in, and what is no number as none', () => {
    expect(points(packed(1, -2.5, Number.NaN, 0, 1e30))).toEqual([1, -2.5, null, 0, Math.fround(1e30)])
    expect(points('')).toEqual([])
  })
  it('keep a level to 0.00001 dB', () => {
    for (const y of [0.1, 57.31234, 99.98765, 119.99999]) expect(Math.abs((points(packed(y))[0] ?? 0) - y)).toBeLessThan(1e-5)
  })
  it('are unpacked all together', () => {
    expect(drawn({ level: packed(3), step: '' } as Curves)).toEqual({ level: [3], step: [] })
  })
})
