import { expect, test } from 'vitest'
import type { Field, Row } from '../../src/lib/api'
import { inputs, nameOf } from '../../src/loadings/inputs'
import { stepOf, within } from '../../src/parts/step'

const field = (path: string, more: Partial<Field> = {}): Field => ({ path, present: true, sort: 'quantity', unit: '', ...more }) as Field
const row = (...paths: string[]): Row => ({ cells: paths.map((path) => ({ path })) }) as Row

test('what a row sets for one candidate has no second row for the others', () => {
  const fields = [field('candidates.one.group.wiring', { sort: 'choice' }), field('candidates.pair.group.wiring', { sort: 'choice' }), field('candidates.four.group.wiring.in_series', { sort: 'count' })]
  expect(inputs(fields, [row('', 'candidates.pair.group.wiring', 'candidates.four.group.wiring')], ['one', 'pair', 'four'])).toEqual([])
})

test('what no row sets has one, in words', () => {
  const list = inputs([field('candidates.one.enclosure.port.diameter', { unit: 'mm' }), field('candidates.two.enclosure.port.diameter', { unit: 'mm' })], [], ['one', 'two'])
  expect(list).toEqual([{ rest: 'enclosure.port.diameter', name: 'port, diameter', unit: 'mm', group: 'Box' }])
  expect(nameOf('group.members[1][0]')).toBe('members 2.1')
  expect(nameOf('enclosure.duct.start')).toBe('duct, area at its start')
  expect(nameOf('enclosure.duct.area')).toBe('duct, area')
  expect(nameOf('enclosure.driver_at')).toBe('cone, from the closed end')
  expect(nameOf('enclosure.parts[1].duct.end', new Map([['enclosure.parts[1]', 'hall']]))).toBe('hall, duct, area at its mouth')
})

test('the parts of a network are called by their names', () => {
  const part = (who: string, k: number, kind: string, more: Record<string, string>) => [
    field(`candidates.${who}.enclosure.parts[${k}].kind`, { sort: 'choice', text: kind }),
    ...Object.entries(more).map(([key, text]) => field(`candidates.${who}.enclosure.parts[${k}].${key}`, { sort: key === 'volume' ? 'quantity' : 'text', text })),
  ]
  const hatch = field('candidates.one.enclosure.parts[1].port.length', { unit: 'mm' })
  const tap = field('candidates.one.enclosure.parts[2].taps[1].at', { unit: 'm' })
  const one = [...part('one', 0, 'chamber', { at: 'loft', volume: '30 L' }), ...part('one', 1, 'port', { name: 'hatch' }), hatch, ...part('one', 2, 'duct', {}), tap]
  expect(inputs(one, [], ['one']).map((i) => i.name)).toEqual(['loft, volume', 'hatch, port, length', 'duct, taps 2, at'])
  const two = [...one, ...part('two', 0, 'chamber', { at: 'loft', volume: '20 L' }), ...part('two', 1, 'port', { name: 'slot' })]
  expect(inputs(two, [], ['one', 'two']).map((i) => i.name)).toEqual(['loft, volume', 'part 2, port, length', 'duct, taps 2, at'])
})

const bounds = { sort: 'quantity', step: 1, min: 0.01, above: false, max: 100 } as const

test('a step suits the size of the value and is the last written digit', () => {
  expect(stepOf(bounds, 28)).toBe(1)
  expect(stepOf(bounds, 1)).toBe(0.1)
  expect(stepOf({ ...bounds, step: 0.01 }, 2.83)).toBe(0.01)
  expect(stepOf({ ...bounds, step: 0.001 }, 1000)).toBe(1)
  expect(stepOf(bounds, 0)).toBe(0.1)
  expect(stepOf({ ...bounds, sort: 'count' }, 1)).toBe(1)
})

test('a number stops inside its bounds, not at what they round to', () => {
  expect(within(bounds, -50, 0)).toBe(1)
  expect(within(bounds, -50, 3)).toBe(0.01)
  expect(within({ ...bounds, min: 0, above: true }, -50, 1)).toBe(0.1)
  expect(within({ ...bounds, min: 0 }, -50, 1)).toBe(0)
  expect(within({ ...bounds, max: 99.96 }, 500, 1)).toBe(99.9)
  expect(within({ ...bounds, min: null, max: null }, -3.26, 1)).toBe(-3.3)
})
