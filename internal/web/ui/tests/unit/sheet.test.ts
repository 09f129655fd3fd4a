import { expect, it } from 'vitest'
import { groups, known, parts, shared } from '../../src/lib/sheet'

it('no key has two places in the sheet', () => {
  const keys = groups.flatMap((g) => g.entries.map((e) => e.key)).filter(Boolean)
  expect(new Set(keys).size).toBe(keys.length)
  expect(known.has('fs')).toBe(true)
})
it.each([
  ['Qms', 'Q', 'ms'],
  ['fs', 'f', 's'],
  ['Bl', 'Bl', ''],
  ['xmax', 'x', 'max'],
  ['d', 'd', ''],
])('%s is %s with the index %s', (symbol, letter, index) => expect(parts(symbol)).toEqual([letter, index]))
it('a unit stands once where all values have it', () => {
  expect(shared(['mm', 'mm'])).toBe('mm')
  expect(shared(['mm', 'in'])).toBeUndefined()
  expect(shared([])).toBeUndefined()
})
