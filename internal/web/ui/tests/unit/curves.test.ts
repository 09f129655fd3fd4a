import { describe, expect, it } from 'vitest'
import { decoded, drawn, points } from '../../src/lib/curves'
import type { Curves } from '../../src/lib/api'

const packed = (...ys: number[]): string => btoa(String.fromCharCode(...new Uint8Array(new Float32Array(ys).buffer)))

describe('packed curves', () => {
  it('come out as they went in, and what is no number as none', () => {
    expect([...points(packed(1, -2.5, Number.NaN, 0, 1e30))]).toEqual([1, -2.5, Number.NaN, 0, Math.fround(1e30)])
    expect(points('')).toHaveLength(0)
  })
  it('keep a level to 0.00001 dB', () => {
    for (const y of [0.1, 57.31234, 99.98765, 119.99999]) expect(Math.abs((points(packed(y))[0] ?? 0) - y)).toBeLessThan(1e-5)
  })
  it('are the bytes that a browser makes of them itself', () => {
    const bytes = [0, 1, 127, 128, 255, 254, 63]
    expect([...decoded(btoa(String.fromCharCode(...bytes)))]).toEqual(bytes)
  })
  it('are unpacked all together, and stay the same where they are', () => {
    const before = drawn({ level: packed(3, Number.NaN), step: '', phase: packed(1) } as Curves)
    expect(Array.from(before.level, String)).toEqual(['3', 'NaN'])
    expect(before.step).toHaveLength(0)
    const after = drawn({ level: packed(3, Number.NaN), step: '', phase: packed(2) } as Curves, before)
    expect(after.level).toBe(before.level)
    expect(after.phase).not.toBe(before.phase)
    expect(drawn({ level: packed(3) } as Curves, before).level).not.toBe(before.level)
  })
})
