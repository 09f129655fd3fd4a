// What a person did is neither lost nor taken for something else.
/// <reference types="vite/client" />
import { describe, expect, it } from 'vitest'
import description from '../../openapi.yaml?raw'
import type { View } from '../../src/lib/api'
import { answered, asked, clashing, mostHave, opened, quick, refusal, settle, StudyState, to, view } from './served'

describe('keys that a request names', () => {
  const result = (step: number, of: number): View['result'] =>
    ({
      heads_key: 'h',
      heads: [],
      frequency_key: 'f',
      frequency: [],
      candidates: Array.from({ length: of }, (_, k) => ({
        name: `c${k}`,
        ...{ curves_key: `c${k}@${step}`, curves: {}, drawings_key: `d${k}@${step}`, section: '<svg/>', wiring_key: `w${k}`, wiring: '<svg/>', cells_key: `l${k}@${step}`, cells: [], steps: [] },
      })),
      drivers: [],
    }) as unknown as View['result']

  it('are bounded as the server bounds them', () => {
    const have = /\n {8}have:\n(?: {10}.*\n)*? {10}maxItems: (\d+)\n/g
    const bounds = [...description.matchAll(have)].map((m) => Number(m[1]))
    expect(bounds.length).toBeGreaterThan(1)
    expect(new Set(bounds)).toEqual(new Set([mostHave]))
  })

  it.each([6, 64])('are what is shown and what was before the drag, however long a value of %i candidates is dragged', async (of) => {
    const s = await opened({ data: view('r1', '700 mm', { result: result(0, of) }) })
    for (let step = 1; step <= 120; step++) {
      s.try(to(`${700 + step} mm`))
      await settle()
      const q = await answered({ data: quick('r1', { result: result(step, of) }) })
      expect(q.body.have?.length).toBe(5 * of + 2 - (step === 1 ? of : 0)) // at the first step what is shown is the ghost
      expect(q.body.have).toContain('c0@0') // the ghost
      expect(q.body.have).toContain(`d${of - 1}@${step - 1}`)
    }
    expect(s.drawing('c1')?.section).toBe('<svg/>')
    void s.commit(to('820 mm'), 'width')
    await settle()
    expect(asked[0]?.body.have?.length).toBeLessThanOrEqual(mostHave)
  })
})

describe('a text that cannot be read', () => {
  const broken = (revision: string): View => view(revision, '', { fields: [], faults: [{ text: 'a list that does not end', where: '' }] as View['faults'] })

  it('has a revision as every other', async () => {
    const s = await opened()
    void s.load()
    await settle()
    await answered({ data: broken('r2') })
    s.keepDraft('mended')
    void s.saveDraft()
    await settle()
    expect(asked[0]?.body).toMatchObject({ base: 'r2', text: 'mended' })
    await answered({ data: view('r3') })
    void s.undo()
    await settle()
    expect(asked[0]?.body.base).toBe('r3')
  })

  it('is mended and taken back also where it was so from the start', async () => {
    const s = await opened({ data: broken('r1') })
    void s.setText('mended', 'line 1')
    await settle()
    expect(asked[0]?.body.base).toBe('r1')
    await answered({ data: broken('r2') })
    void s.undo()
    await settle()
    expect(asked[0]?.body.base).toBe('r2')
  })
})

describe('a change that is refused', () => {
  it('says why until the person has read it', async () => {
    const s = await opened()
    const saved = s.commit(to('800 mm'), 'width: 800 mm')
    await settle()
    await answered(refusal(403, 'the file of bench is write-protected; allow writing to it'))
    await answered({ data: view('r1') })
    expect(await saved).toBe(false)
    expect(s.refusal).toEqual({ label: 'width: 800 mm', reason: 'the file of bench is write-protected; allow writing to it' })
    void s.load()
    await settle()
    await answered({ data: view('r1') })
    expect(s.refusal?.label).toBe('width: 800 mm')
  })

  it('says so too where no answer came', async () => {
    const s = await opened()
    const saved = s.commit(to('800 mm'), 'width: 800 mm')
    await settle()
    await answered({})
    await answered({ data: view('r1') })
    expect(await saved).toBe(false)
    expect(s.lost).toBe(false)
    expect(s.refusal?.reason).toMatch(/no answer/)
  })
})

describe('two edits that meet', () => {
  async function met(): Promise<InstanceType<typeof StudyState>> {
    // without the text that it began from it cannot be joined line by line
    sessionStorage.setItem('draft bench', JSON.stringify({ text: 'width: 800 mm # mine', base: 'r1' }))
    const s = await opened()
    void s.saveDraft()
    await settle()
    await answered(clashing('width: 500 mm', 'width: 800 mm # mine', 'r9'))
    return s
  }

  it('outlive the page, with the text that was being written', async () => {
    await met()
    const again = new StudyState('bench')
    expect(again.clash).toMatchObject({ yours: 'width: 800 mm # mine', theirs: 'width: 500 mm', base: 'r9' })
    expect(again.draft).toEqual({ text: 'width: 800 mm # mine', base: 'r1' })
    const kept = again.keepMine()
    await settle()
    expect(asked[0]?.body).toMatchObject({ text: 'width: 800 mm # mine', base: 'r9', label: 'edited as text' })
    await answered({ data: view('r10', '800 mm') })
    expect(await kept).toBe(true)
    const after = new StudyState('bench')
    expect([after.clash, after.draft, after.left]).toEqual([undefined, undefined, undefined])
  })

  it.each([
    ['the server is away', {}],
    ['the file cannot be written', refusal(403, 'write-protected')],
    ['the file is gone', refusal(404, 'there is no study bench')],
  ])('stay where mine is chosen and %s', async (_, answer) => {
    const s = await met()
    const kept = s.keepMine()
    await settle()
    await answered(answer)
    expect(await kept).toBe(false)
    expect(s.clash?.yours).toBe('width: 800 mm # mine')
    expect(s.refusal).toBeDefined()
    expect(new StudyState('bench').clash?.yours).toBe('width: 800 mm # mine')
    void s.keepMine()
    await settle()
    expect(asked[0]?.body).toMatchObject({ text: 'width: 800 mm # mine', base: 'r9' })
    expect(asked[0]?.body.anew).toBe(s.gone ? true : undefined)
  })

  it('are over once theirs is chosen', async () => {
    const s = await met()
    void s.keepTheirs()
    await settle()
    await answered({ data: view('r9', '500 mm') })
    expect([s.clash, s.draft]).toEqual([undefined, undefined])
    const after = new StudyState('bench')
    expect([after.clash, after.draft, after.left]).toEqual([undefined, undefined, undefined])
  })

  it('leave a text alone that has nothing to do with them', async () => {
    const s = await opened()
    s.keepDraft('a thought')
    void s.commit(to('800 mm'), 'width')
    await settle()
    await answered(clashing('width: 500 mm', 'width: 800 mm', 'r9'))
    await answered({ data: view('r9', '500 mm') })
    await answered(refusal(503, 'busy')) // that the history keeps the text
    void s.keepMine()
    await settle()
    await answered({ data: view('r10', '800 mm') })
    expect(s.draft?.text).toBe('a thought')
  })

  it('are not written over by an undo that meets another', async () => {
    const s = await met()
    void s.undo()
    await settle()
    await answered(clashing('width: 400 mm', '', 'r10'))
    expect(s.clash?.yours).toBe('width: 800 mm # mine')
  })
})

describe('a text that is being written', () => {
  it('is kept where it was written on while it was being saved', async () => {
    const s = await opened()
    s.keepDraft('one')
    void s.saveDraft()
    await settle()
    s.keepDraft('one two')
    await answered({ data: view('r2', '1') })
    expect(s.draft).toMatchObject({ text: 'one two', base: 'r2' })
  })

  it('is offered to another tab, which goes on with it or drops it', async () => {
    const s = await opened()
    s.keepDraft('a thought')
    sessionStorage.clear() // the tab is closed
    const other = new StudyState('bench')
    expect(other.draft).toBeUndefined()
    expect(other.left).toMatchObject({ text: 'a thought', base: 'r1' })
    other.keepDraft('something else')
    expect(other.left?.text).toBe('a thought')
    other.dropDraft()
    sessionStorage.clear()
    const third = new StudyState('bench')
    third.takeLeft()
    expect(third.draft).toMatchObject({ text: 'a thought', base: 'r1' })
    third.dropDraft()
    sessionStorage.clear()
    expect(new StudyState('bench').left).toBeUndefined()
  })

  it('asks before the page goes where the browser has no room to keep it', async () => {
    const s = await opened()
    s.keepDraft('small')
    expect(s.unsaved).toBe(false)
    s.keepDraft('x'.repeat(6 << 20))
    expect(s.unsaved).toBe(true)
  })
})

describe('a study whose file is gone', () => {
  it('is written anew only once the person was told', async () => {
    const s = await opened()
    s.keepDraft('a thought')
    void s.saveDraft()
    await settle()
    const first = await answered(refusal(404, 'there is no study bench'))
    expect(first.body.anew).toBeUndefined()
    expect(s.gone).toBe(true)
    expect(s.draft?.text).toBe('a thought')
    const saved = s.saveDraft()
    await settle()
    expect(asked[0]?.body).toMatchObject({ text: 'a thought', base: 'r1', anew: true })
    await answered({ data: view('r2') })
    expect(await saved).toBe(true)
    expect(s.gone).toBe(false)
  })

  it('is written anew as it was last seen where nothing was being written', async () => {
    const s = await opened()
    void s.load()
    await settle()
    await answered(refusal(404, 'there is no study bench'))
    void s.anew()
    await settle()
    expect(asked[0]?.body).toMatchObject({ text: 'width: 700 mm', base: 'r1', anew: true })
  })
})

describe('an undo', () => {
  it('waits for what is being looked at, and takes that back', async () => {
    const s = await opened()
    let look: (ok: boolean) => void = () => undefined
    const looked = new Promise<boolean>((r) => { look = r })
    void s.loose.comes(looked.then(() => s.commit(to('800 mm'), 'width')))
    void s.undo()
    await settle()
    expect(asked).toEqual([])
    look(true)
    await settle()
    expect(asked.map((a) => a.path)).toEqual(['edit'])
    await answered({ data: view('r2', '800 mm') })
    expect(asked.map((a) => [a.path, a.body.base])).toEqual([['undo', 'r2']])
  })

  it('takes nothing else back where that came to nothing', async () => {
    const s = await opened()
    void s.loose.comes(Promise.resolve(false))
    await s.undo()
    expect(asked).toEqual([])
  })
})
