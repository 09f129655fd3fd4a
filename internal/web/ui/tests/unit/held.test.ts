// What the page holds of a ledger, and what it is asked to hold on to.
import { describe, expect, it } from 'vitest'
import { Held } from '../../src/lib/held'
import type { Cell, Result, View } from '../../src/lib/api'
import { answered, asked, opened, quick, refusal, settle, to, view } from './served'

const names = ['f3_hz', 'price']
/** column is what comes of a candidate; whole: with its cells. */
const column = (name: string, of: string, whole: boolean): Record<string, unknown> => ({
  name, curves_key: `c${of}`, drawings_key: `d${of}`, wiring_key: `w${name}`, cells_key: `cells ${of}`, steps: [], words: [],
  ...(whole && { curves: {}, cells: names.map((n) => ({ text: `${n} of ${of}` })) }),
})
/** result has the candidates that are named by what they are made from; those in full come with all that has a key. */
const result = (of: Record<string, string>, full: string[], more: Record<string, unknown> = {}): Result =>
  ({ drivers: [], heads_key: 'h', frequency_key: 'f', candidates: Object.entries(of).map(([name, from]) => column(name, from, full.includes(name))), ...more }) as unknown as Result
const heads = { heads: names.map((key) => ({ key, name: key })), frequency: [10, 20] }
const first = (): Result => result({ one: '1', two: '2' }, ['one', 'two'], heads)
const texts = (r: { rows: { cells: Cell[] }[] } | undefined): string[] | undefined => r?.rows.map((row) => row.cells.map((c) => c.text).join(', '))

describe('a ledger in parts', () => {
  it('is put together from what comes and what came', () => {
    const held = new Held()
    const was = held.composed(first())
    expect(was.rows).toEqual([
      { key: 'f3_hz', name: 'f3_hz', cells: [{ text: 'f3_hz of 1' }, { text: 'f3_hz of 2' }] },
      { key: 'price', name: 'price', cells: [{ text: 'price of 1' }, { text: 'price of 2' }] },
    ])
    const now = held.composed(result({ one: '1b', two: '2' }, ['one']))
    expect(texts(now)).toEqual(['f3_hz of 1b, f3_hz of 2', 'price of 1b, price of 2'])
    expect(now.frequency).toBe(was.frequency)
    for (const [k, row] of now.rows.entries()) expect(row.cells[1]).toBe(was.rows[k]?.cells[1])
    expect(texts(was)).toEqual(['f3_hz of 1, f3_hz of 2', 'price of 1, price of 2']) // as it was
  })

  it('is the same where it is put together again, also of what was left of it', () => {
    const held = new Held()
    const was = first()
    const once = texts(held.composed(was))
    expect(was.heads).toBeUndefined()
    expect(was.candidates.map((c) => c.cells)).toEqual([undefined, undefined])
    expect(texts(held.composed(was))).toEqual(once)
    expect(texts(held.composed(result({ one: '1', two: '2' }, [])))).toEqual(once)
  })

  it('has the candidates in their order, without those that are gone', () => {
    const held = new Held()
    held.composed(first())
    expect(texts(held.composed(result({ two: '2', one: '1' }, [])))).toEqual(['f3_hz of 2, f3_hz of 1', 'price of 2, price of 1'])
    expect(texts(held.composed(result({ two: '2' }, [])))).toEqual(['f3_hz of 2', 'price of 2'])
  })

  it('changes its rows with their key', () => {
    const held = new Held()
    held.composed(first())
    const now = held.composed(result({ one: '1', two: '2' }, [], { heads_key: 'fewer', heads: [{ key: 'f3_hz' }] }))
    expect(texts(now)).toEqual(['f3_hz of 1, f3_hz of 2'])
    expect(texts(held.composed(result({ one: '1', two: '2' }, [])))).toHaveLength(2)
  })

  it('has blanks where something was forgotten', () => {
    const held = new Held()
    held.composed(first())
    for (const m of held.maps) m.delete('cells 2')
    expect(texts(held.composed(result({ one: '1', two: '2' }, [])))).toEqual(['f3_hz of 1, ', 'price of 1, '])
  })
})

describe('a study whose ledger comes in parts', () => {
  const on = async (): Promise<Awaited<ReturnType<typeof opened>>> => opened({ data: view('r1', '700 mm', { result: first() }) })

  it('names all that it has, and keeps what did not change', async () => {
    const s = await on()
    const was = s.good?.result
    s.try(to('701 mm'))
    await settle()
    const q = await answered({ data: quick('r1', { result: result({ one: '1b', two: '2' }, ['one']) }) })
    expect(q.body.have).toEqual(expect.arrayContaining(['h', 'f', 'cells 1', 'cells 2']))
    expect(texts(s.good?.result)).toEqual(['f3_hz of 1b, f3_hz of 2', 'price of 1b, price of 2'])
    expect(s.good?.result?.rows[0]?.cells[1]).toBe(was?.rows[0]?.cells[1])
    expect(s.good?.result?.frequency).toBe(was?.frequency)
    expect(s.whole).toBe(was)
    expect(texts(s.whole)).toEqual(['f3_hz of 1, f3_hz of 2', 'price of 1, price of 2'])
    s.try(to('702 mm'))
    await settle()
    expect(asked[0]?.body.have).toContain('cells 1b')
    expect(asked[0]?.body.have).not.toContain('cells 1')
  })

  it('is the same ledger, row by row, where nothing changed', async () => {
    const s = await on()
    const was = s.good?.result
    void s.load()
    await settle()
    await answered({ data: view('r1', '700 mm', { result: result({ one: '1', two: '2' }, []) }) })
    expect(s.good?.result).toBe(was)
  })

  it('is whole after an undo that sends one column', async () => {
    const s = await on()
    void s.commit(to('710 mm'), 'width')
    await settle()
    await answered({ data: view('r2', '710 mm', { result: result({ one: '1b', two: '2' }, ['one']) }) })
    void s.undo()
    await settle()
    expect(asked[0]?.body.have).not.toContain('cells 1')
    await answered({ data: view('r3', '700 mm', { result: result({ one: '1', two: '2' }, ['one']) }) })
    expect(texts(s.whole)).toEqual(['f3_hz of 1, f3_hz of 2', 'price of 1, price of 2'])
  })

  it('does not name what an answer brought that was dropped', async () => {
    const s = await on()
    void s.load()
    void s.load()
    await settle()
    const slow = asked.shift()
    await answered({ data: view('r3', '720 mm', { result: result({ one: '1c', two: '2' }, ['one']) }) })
    slow?.answer({ data: view('r2', '710 mm', { result: result({ one: '1b', two: '2' }, ['one']) }) })
    await settle()
    void s.load()
    await settle()
    expect(asked[0]?.body.have).not.toContain('cells 1b')
    await answered({ data: view('r2', '710 mm', { result: result({ one: '1b', two: '2' }, ['one']) }) })
    expect(texts(s.good?.result)?.[0]).toBe('f3_hz of 1b, f3_hz of 2')
  })

  it('is what is on disk again where a long drag ends and nobody is there to ask', async () => {
    const s = await on()
    for (let step = 1; step <= 320; step++) {
      s.try(to(`${700 + step} mm`))
      await settle()
      await answered({ data: quick('r1', { result: result({ one: `1 ${step}`, two: `2 ${step}` }, ['one', 'two']) }) })
    }
    expect(texts(s.good?.result)?.[0]).toBe('f3_hz of 1 320, f3_hz of 2 320')
    s.try(to('1021 mm'))
    await settle()
    await answered({}) // the server is away
    expect(s.lost).toBe(true)
    void s.cancel()
    await settle()
    await answered(refusal(503, 'busy'))
    expect(texts(s.good?.result)).toEqual(['f3_hz of 1, f3_hz of 2', 'price of 1, price of 2'])
    expect(s.good?.result?.frequency).toEqual([10, 20])
  })

  it('follows a candidate that is renamed, and one that is removed', async () => {
    const s = await on()
    const after = async (r: Result, revision: string): Promise<string[] | undefined> => {
      void s.load()
      await settle()
      await answered({ data: view(revision, '700 mm', { result: r } as Partial<View>) })
      return texts(s.good?.result)
    }
    expect(await after(result({ uno: 'u', two: '2' }, ['uno']), 'r2')).toEqual(['f3_hz of u, f3_hz of 2', 'price of u, price of 2'])
    expect(await after(result({ two: '2 alone' }, ['two']), 'r3')).toEqual(['f3_hz of 2 alone', 'price of 2 alone'])
    expect(await after(first(), 'r4')).toEqual(['f3_hz of 1, f3_hz of 2', 'price of 1, price of 2'])
  })
})
