// A text that is being written, and what others change in the file meanwhile.
import { describe, expect, it, vi } from 'vitest'
import type { Told } from '../../src/lib/api'
import { answered, asked, clashing, settle, StudyState, view } from './served'

const heard: { change?: (e: Told) => void } = {}
vi.mock('../../src/lib/stream', () => ({
  listen: (to: typeof heard) => {
    heard.change = to.change
    return () => undefined
  },
}))

const was = 'one\ntwo\nthree\nfour\n'
const at = (revision: string, text: string) => ({ data: view(revision, '', { text }) })
const told = (revision: string): void => heard.change?.({ name: 'bench', revision, gone: false, overtaken: 0 } as Told)
async function writing(text: string): Promise<InstanceType<typeof StudyState>> {
  const s = new StudyState('bench')
  s.follow()
  void s.load()
  await settle()
  await answered(at('r1', was))
  s.keepDraft(text)
  s.tryText(text)
  await settle()
  await answered(at('r1', text))
  return s
}

describe('a text that is being written while the file is changed outside', () => {
  it('calls a change its own where the person made it, and another’s where both did', async () => {
    const s = await writing(was.replace('two', 'mine'))
    void s.undo()
    await settle()
    await answered(at('r2', was.replace('four', 'undone')))
    expect(s.draft).toMatchObject({ text: 'one\nmine\nthree\nundone\n', own: 'undo', outside: [{ line: 3, count: 1, gone: 1 }] })
    s.keepDraft('one\nmine too\nthree\nundone\n')
    expect(s.draft?.own).toBe('undo')
    told('r3')
    await settle()
    await answered(at('r3', 'theirs\ntwo\nthree\nundone\n'))
    expect(s.draft).toMatchObject({ text: 'theirs\nmine too\nthree\nundone\n' })
    expect(s.draft?.own).toBeUndefined()
    s.drafting.seen()
    void s.redo()
    await settle()
    await answered(at('r4', 'theirs\ntwo\nthree\nfour\n'))
    expect(s.draft?.own).toBe('redo')
    s.drafting.seen()
    expect(s.draft).toMatchObject({ outside: [] })
    expect(s.draft?.own).toBeUndefined()
  })

  it('is joined at once with what is in other lines, and says which', async () => {
    const s = await writing(was.replace('two', 'mine'))
    told('r2')
    await settle()
    await answered(at('r2', was.replace('four', 'theirs')))
    expect(s.draft).toMatchObject({ text: 'one\nmine\nthree\ntheirs\n', base: 'r2', outside: [{ line: 3, count: 1, gone: 1 }] })
    expect([s.drafting.joins, s.drafting.meetings, s.view?.text]).toEqual([1, [], was.replace('two', 'mine')])
    // what is written on moves the place, and a reload keeps it
    s.keepDraft('zero\none\nmine\nthree\ntheirs\n')
    expect(new StudyState('bench').draft?.outside).toEqual([{ line: 4, count: 1, gone: 1 }])
    const saved = s.saveDraft()
    await settle()
    expect(asked[0]?.body).toMatchObject({ base: 'r2', text: 'zero\none\nmine\nthree\ntheirs\n' })
    await answered(at('r3', 'zero\none\nmine\nthree\ntheirs\n'))
    expect(await saved).toBe(true)
    expect(s.draft).toBeUndefined()
  })

  it.each([
    ['mine', 'one\nmine\nthree\nother\n'],
    ['theirs', 'one\ntheirs\nthree\nother\n'],
  ] as const)('is not saved before %s is chosen where both changed a line, and then so', async (which, want) => {
    const mine = was.replace('two', 'mine')
    const s = await writing(mine)
    told('r2')
    await settle()
    await answered(at('r2', was.replace('two', 'theirs').replace('four', 'other')))
    expect(s.draft?.text).toBe('one\nmine\nthree\nother\n')
    // what was written is kept before anybody chooses
    const kept = await answered({ data: view('') })
    expect([kept.path, kept.body.text, s.drafting.inHistory]).toEqual(['keep', mine, true])
    expect(await s.saveDraft()).toBe(false)
    expect([asked, s.refusal?.reason]).toEqual([[], 'the file has some of its lines otherwise by now; choose which to keep'])
    // over a reload the choice is still open
    const again = new StudyState('bench')
    void again.load()
    await settle()
    await answered(at('r2', was.replace('two', 'theirs').replace('four', 'other')))
    asked.length = 0
    for (const page of [s, again]) {
      const [m] = page.drafting.meetings
      expect(m).toMatchObject({ was: ['two'], mine: ['mine'], theirs: ['theirs'] })
      if (m) page.drafting.choose(m, which)
      expect([page.draft?.text, page.drafting.meetings]).toEqual([want, []])
    }
    void s.saveDraft()
    await settle()
    expect(asked[0]?.body).toMatchObject({ base: 'r2', text: want })
  })

  it('is joined where the save is first to hear of it, and saved', async () => {
    const s = await writing(was.replace('two', 'mine'))
    const saved = s.saveDraft()
    await settle()
    await answered(clashing(was.replace('four', 'theirs'), was.replace('two', 'mine'), 'r2'))
    expect(s.clash).toBeUndefined()
    expect(asked[0]?.body).toMatchObject({ base: 'r2', text: 'one\nmine\nthree\ntheirs\n' })
    await answered(at('r3', 'one\nmine\nthree\ntheirs\n'))
    expect(await saved).toBe(true)
  })

  it('does not take its own save for another’s', async () => {
    const s = await writing(was.replace('two', 'mine'))
    void s.saveDraft()
    await settle()
    s.keepDraft(was.replace('two', 'mine too'))
    told('r2')
    await settle()
    await answered(at('r2', was.replace('two', 'mine')))
    expect([s.drafting.meetings, s.draft?.text, s.draft?.base]).toEqual([[], was.replace('two', 'mine too'), 'r2'])
    expect(asked).toEqual([])
  })

  it('tells the server’s answer to a text on its way from a change of the file', async () => {
    const s = await writing('one\n')
    s.tryText('one\nmore\n')
    await settle()
    await answered(at('r1', 'one\nmore\n'))
    expect([s.draft?.text, s.drafting.joins]).toEqual(['one\n', 0])
  })
})
