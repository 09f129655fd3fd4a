import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { alike, assigned, read, type Looks } from '../../src/state/looks'

const of = (names: string, looks: Looks): number[] => names.split(' ').map((n) => looks[n] ?? -1)

describe('which colour a candidate has', () => {
  it('is its place, at first', () => expect(of('a b c', assigned({}, ['a', 'b', 'c']))).toEqual([0, 1, 2]))

  it('stays over removing, moving, adding and taking back', () => {
    const first = assigned({}, ['a', 'b', 'c', 'd'])
    const less = assigned(first, ['a', 'c', 'd'])
    expect(of('a c d', less)).toEqual([0, 2, 3])
    const moved = assigned(less, ['d', 'a', 'c'])
    expect(of('a c d', moved)).toEqual([0, 2, 3])
    const more = assigned(moved, ['d', 'a', 'c', 'e'])
    expect(of('a c d e', more)).toEqual([0, 2, 3, 4])
    expect(of('a b c d', assigned(more, ['a', 'b', 'c', 'd']))).toEqual([0, 1, 2, 3])
  })

  it('goes with a new name', () => {
    const renamed = assigned(assigned({}, ['a', 'b']), ['a', 'z'], new Map([['a', 'a'], ['b', 'z']]))
    expect(of('a z', renamed)).toEqual([0, 1])
  })

  it('is that of one that is gone only where there is no other', () => {
    const full = assigned({}, [...'abcdefgh'])
    const seven = assigned(full, [...'acdefgh'])
    expect(seven.b).toBe(1)
    const again = assigned(seven, [...'acdefghx'])
    expect(again.x).toBe(1)
    const both = assigned(again, [...'abcdefghx'])
    expect([both.x, both.b]).toEqual([1, 8])
  })

  it('begins anew where none of the names is known', () => expect(of('x y', assigned(assigned({}, ['a', 'b', 'c']), ['x', 'y']))).toEqual([0, 1]))

  it('is never that of another, and changes for none that stays', () => {
    const names = fc.uniqueArray(fc.constantFrom(...'abcdefghijklmnop'), { minLength: 1, maxLength: 14 })
    fc.assert(
      fc.property(fc.array(names, { minLength: 1, maxLength: 12 }), (course) => {
        let looks: Looks = {}
        let was: string[] = []
        for (const now of course) {
          const next = assigned(looks, now)
          expect(new Set(now.map((n) => next[n])).size).toBe(now.length)
          for (const n of now) if (was.includes(n)) expect(next[n]).toBe(looks[n])
          looks = next
          was = now
        }
      }),
    )
  })

  it('is read with care', () => {
    expect(read(null)).toEqual({})
    expect(read({ a: 1, b: -1, c: 'x', d: 1.5, e: 1e9 })).toEqual({ a: 1 })
    expect([alike({ a: 1 }, { a: 1 }), alike({ a: 1 }, { a: 2 }), alike({ a: 1 }, {})]).toEqual([true, false, false])
  })
})
