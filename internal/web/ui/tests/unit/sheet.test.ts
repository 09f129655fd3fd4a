import { expect, it } from 'vitest'
import type { Driver } from '../../src/lib/api'
import { groups, known, parts, shared, warnings } from '../../src/lib/sheet'

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
it('a value is one, however much is told of it', () => {
  const finding = (where: string, severity: string) => ({ where, severity }) as Driver['findings'][number]
  expect(warnings([{ findings: [finding('drivers.a.bl', 'warning'), finding('drivers.a.curves.bl', 'warning'), finding('drivers.a.curves.bl', 'warning'), finding('drivers.a.xmax', 'default')] }, { findings: [] }] as unknown as Driver[])).toBe(2)
})
