import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { share } from '../../src/lib/share'

describe('what an answer shares with the last', () => {
  it('says what it said', () => {
    fc.assert(
      fc.property(fc.jsonValue(), fc.jsonValue(), (was, now) => {
        const want = structuredClone(now)
        expect(share(was, now)).toEqual(want)
      }),
    )
  })
  it('is the last where nothing is otherwise', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (was) => {
        expect(share(was, structuredClone(was))).toBe(was)
      }),
    )
  })
  it('is all that is as it was, and no more', () => {
    const was = { rows: [{ key: 'a', cells: ['1', '2'] }, { key: 'b', cells: ['3'] }], at: 1 }
    const now = share(was, { rows: [{ key: 'a', cells: ['1', '2'] }, { key: 'b', cells: ['4'] }], at: 1 })
    expect(now).not.toBe(was)
    expect(now.rows).not.toBe(was.rows)
    expect(now.rows[0]).toBe(was.rows[0])
    expect(now.rows[1]).toEqual({ key: 'b', cells: ['4'] })
  })
  it('tells a key that is gone, a list that is shorter, and a list from an object', () => {
    expect(share<unknown>({ a: 1, b: 2 }, { a: 1 })).toEqual({ a: 1 })
    expect(share<unknown>([1, 2], [1])).toEqual([1])
    expect(Array.isArray(share<unknown>({ 0: 1 }, [1]))).toBe(true)
    expect(share<unknown>([], {})).toEqual({})
  })
  it('tells a key that is undefined from none', () => {
    expect(Object.keys(share<unknown>({ x: undefined }, { y: undefined }) as object)).toEqual(['y'])
  })
  it('leaves the numbers of a curve whole', () => {
    const [was, now] = [{ ys: new Float32Array([1, 2]) }, { ys: new Float32Array([1, 2]) }]
    const { ys } = now
    expect(share(was, now).ys).toBe(ys)
  })
})
