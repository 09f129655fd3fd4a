import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { View } from '../../src/lib/api'
import { answered, asked, opened, quick, settle, StudyState, to, view } from './served'

describe('while a number is dragged', () => {
  it('one request is under way, the newest waits, what it overtook is dropped', async () => {
    const s = await opened()
    for (const v of ['701 mm', '702 mm', '703 mm', '704 mm']) s.try(to(v))
    await settle()
    expect(asked).toHaveLength(1)
    const first = await answered({ data: quick('r1') })
    expect(first.body.changes?.[0]?.value).toBe('701 mm')
    expect(first.body.quick).toBe(true)
    expect(asked).toHaveLength(1)
    expect(asked[0]?.body.changes?.[0]?.value).toBe('704 mm')
    await answered({ data: quick('r1') })
    expect(asked).toHaveLength(0)
  })

  it('the fields stay as they are on disk', async () => {
    const s = await opened()
    s.try(to('800 mm'))
    await settle()
    await answered({ data: quick('r1') })
    expect(s.field('space.width')?.text).toBe('700 mm')
  })

  it('a reply that comes after it was let go is dropped', async () => {
    const s = await opened()
    s.try(to('800 mm'))
    await settle()
    const late = asked.shift()
    const saved = s.commit(to('801 mm'), 'width')
    await settle()
    await answered({ data: view('r2', '801 mm') })
    expect(await saved).toBe(true)
    late?.answer({ data: quick('r1', { faults: [{ text: 'late' }] as View['faults'] }) })
    await settle()
    expect(s.view?.revision).toBe('r2')
    expect(s.faults).toEqual([])
  })
})

it('what depends on what is shown sees what all before it came to, however fast they follow', async () => {
  const s = await opened()
  const seen: (string | undefined)[] = []
  const act = (value: string) => () => {
    seen.push(s.field('space.width')?.text)
    return s.commit(to(value), 'width')
  }
  const under = s.commit(to('701 mm'), 'width')
  const both = [s.inTurn(act('702 mm')), s.inTurn(act('703 mm'))]
  await settle()
  await answered({ data: view('r2', '701 mm') })
  expect(seen).toEqual(['701 mm'])
  await answered({ data: view('r3', '702 mm') })
  expect(seen).toEqual(['701 mm', '702 mm'])
  await answered({ data: view('r4', '703 mm') })
  expect(await Promise.all([under, ...both])).toEqual([true, true, true])
})

it('a reply that another overtook is dropped', async () => {
  const s = await opened()
  void s.load()
  void s.load()
  await settle()
  const slow = asked.shift()
  await answered({ data: view('r3', '720 mm') })
  slow?.answer({ data: view('r2', '710 mm') })
  await settle()
  expect(s.field('space.width')?.text).toBe('720 mm')
})

describe('changes of the file', () => {
  it('are known also where the next drag was answered first', async () => {
    const s = await opened()
    void s.commit(to('800 mm'), 'width')
    await settle()
    const saving = asked.shift()
    s.try(to('810 mm'))
    await settle()
    await answered({ data: quick('r1') })
    saving?.answer({ data: view('r2', '800 mm') })
    await settle()
    expect(s.field('space.width')?.text).toBe('800 mm') // what a person sees that it was, and says that it replaces
    void s.commit(to('810 mm'), 'width')
    await settle()
    expect(asked.at(-1)?.body).toMatchObject({ base: 'r2', changes: [{ value: '810 mm', was: '800 mm' }] })
  })

  it('say what they replace', async () => {
    const s = await opened()
    void s.commit(to('800 mm'), 'width')
    await settle()
    expect(asked[0]?.body.changes?.[0]).toEqual({ do: 'set', path: 'space.width', value: '800 mm', was: '700 mm' })
  })

  it('wait for one another, each made on what the last came to', async () => {
    const s = await opened()
    void s.commit(to('800 mm'), 'width')
    const back = s.undo()
    await settle()
    expect(asked.map((a) => a.path)).toEqual(['edit'])
    await answered({ data: view('r2', '800 mm') })
    expect(asked.map((a) => a.path)).toEqual(['undo'])
    expect(asked[0]?.body.base).toBe('r2')
    await answered({ data: view('r3', '700 mm') })
    await back
    expect(s.field('space.width')?.text).toBe('700 mm')
  })

  it('of the whole text hold for the revision that it was made from', async () => {
    const s = await opened()
    void s.setText('one mended', 'one')
    void s.setText('the other mended', 'other')
    await settle()
    await answered({ data: view('r2') })
    expect(asked[0]?.body).toMatchObject({ text: 'the other mended', base: 'r1' })
  })

  it('that meet another are kept for the person to choose', async () => {
    const s = await opened()
    const saved = s.commit(to('800 mm'), 'width')
    await settle()
    await answered({ error: { title: 'changed', theirs: 'width: 500 mm', yours: 'width: 800 mm', base: 'r9', lines: [] }, response: new Response(null, { status: 409 }) })
    await answered({ data: view('r9', '500 mm') })
    expect(await saved).toBe(false)
    expect(s.clash?.yours).toBe('width: 800 mm')
    const kept = s.keepMine()
    await settle()
    expect(asked[0]?.path).toBe('text')
    expect(asked[0]?.body).toMatchObject({ text: 'width: 800 mm', base: 'r9' })
    await answered({ data: view('r10', '800 mm') })
    expect(await kept).toBe(true)
    expect(s.clash).toBeUndefined()
  })

  it('that the server does not answer leave the study as it was and say so', async () => {
    const s = await opened()
    const saved = s.commit(to('800 mm'), 'width')
    await settle()
    await answered({})
    await answered({})
    expect(await saved).toBe(false)
    expect(s.lost).toBe(true)
    expect(s.field('space.width')?.text).toBe('700 mm')
  })
})

describe('what is asked', () => {
  it('names the curves and drawings that need not be sent again', async () => {
    const s = await opened()
    void s.load()
    await settle()
    await answered({ data: view('r1', '700 mm', { result: { candidates: [{ name: 'one', curves_key: 'c1', curves: {}, drawings_key: 'd1', wiring_key: 'w1', section: '<svg/>' }], drivers: [] } as unknown as View['result'] }) })
    void s.load()
    await settle()
    expect(asked[0]?.body.have).toEqual(['c1', 'd1'])
    expect(s.drawing('one')?.section).toBe('<svg/>')
  })
})

describe('a text that is being written', () => {
  it('outlives the page, with the revision that it began from', async () => {
    const s = await opened()
    s.keepDraft('width: 1')
    s.keepDraft('width: 12')
    const again = new StudyState('bench')
    expect(again.draft).toMatchObject({ text: 'width: 12', base: 'r1' })
    const saved = again.saveDraft()
    await settle()
    expect(asked[0]?.body).toMatchObject({ text: 'width: 12', base: 'r1' })
    await answered({ data: view('r2', '12') })
    expect(await saved).toBe(true)
    expect(new StudyState('bench').draft).toBeUndefined()
  })
})

it('the last good state stays where the text has faults', async () => {
  const s = await opened()
  const result = { candidates: [], drivers: [] } as unknown as View['result']
  void s.load()
  await settle()
  await answered({ data: view('r1', '700 mm', { result }) })
  void s.load()
  await settle()
  await answered({ data: view('r2', '700', { faults: [{ text: 'no unit' }] as View['faults'] }) })
  expect(s.stale).toBe(true)
  expect(s.good?.revision).toBe('r1')
})

describe('a study that is taken back to nothing', () => {
  const lacks = (...where: string[]): View['faults'] => where.map((w) => ({ id: 'missing-key', severity: 'error', where: w, text: `the study lacks ${w}` })) as View['faults']
  const full = { result: { title: 'Bench', candidates: [], drivers: [{ name: 'wren-6' }], strips: [], rows: [] } as unknown as View['result'] }

  it('shows nothing of what it had', async () => {
    const s = await opened({ data: view('r1', '700 mm', full as Partial<View>) })
    expect(s.good?.revision).toBe('r1')
    void s.undo()
    await settle()
    expect(s.writing).toBe(true)
    await answered({ data: view('r0', '700 mm', { faults: lacks('candidates'), drivers: [{ name: 'wren-6' }] as View['drivers'] }) })
    expect(s.writing).toBe(false)
    expect([s.good, s.whole]).toEqual([undefined, undefined])
    expect(s.drivers.map((d) => d.name)).toEqual(['wren-6'])
  })

  it('and one with a fault keeps what was good', async () => {
    const s = await opened({ data: view('r1', '700 mm', full as Partial<View>) })
    void s.load()
    await settle()
    await answered({ data: view('r2', '700 mm', { faults: [...lacks('candidates'), { id: 'bad-value', where: 'space.width', text: 'space.width is below zero' }] as View['faults'] }) })
    expect(s.bare).toBe(false)
    expect(s.good?.revision).toBe('r1')
    expect(s.drivers.map((d) => d.name)).toEqual(['wren-6'])
  })
})

describe('that it is computing is told', () => {
  const slowly = () => vi.advanceTimersByTimeAsync(400)
  beforeEach(() => void vi.useFakeTimers())
  afterEach(() => void vi.useRealTimers())

  it('until the answer is there, and not because of one that another overtook', async () => {
    const s = new StudyState('bench')
    void s.load()
    void s.load()
    await settle()
    const first = asked.shift()
    await slowly()
    expect(s.late).toBe(true)
    await answered({ data: view('r1') })
    expect(s.late).toBe(false)
    await slowly()
    first?.answer({ data: view('r1') })
    await settle()
    expect(s.late).toBe(false)
  })

  it('and where the newest answers before it is late', async () => {
    const s = new StudyState('bench')
    void s.load()
    void s.load()
    await settle()
    const first = asked.shift()
    await answered({ data: view('r1') })
    await slowly()
    expect(s.late).toBe(false)
    first?.answer({ data: view('r1') })
    await settle()
    expect(s.late).toBe(false)
  })
})
