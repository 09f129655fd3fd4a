import { beforeEach, describe, expect, it, vi } from 'vitest'
import type { View } from '../../src/lib/api'
import { followed } from '../../src/state/follow'

const answers: View[] = []
vi.mock('../../src/lib/api', async (original) => {
  const ask = (): Promise<unknown> => Promise.resolve({ data: answers.shift(), response: new Response() })
  return { ...(await original<typeof import('../../src/lib/api')>()), api: { GET: ask, POST: ask, PUT: ask } }
})
const { StudyState } = await import('../../src/state/study.svelte')

const view = (...names: string[]): View =>
  ({ revision: names.join(), fields: [{ path: 'study' }], faults: [], text: '', result: { rows: [], candidates: names.map((name) => ({ name, curves_key: name, drawings_key: `${name} drawn`, wiring_key: `${name} wired`, steps: [], words: [], findings: [] })) } }) as unknown as View

describe('what has become of names', () => {
  it('a name that changed in its place is followed, also two at once', () => {
    expect([...followed(['a', 'b', 'c'], ['a', 'x', 'y'])]).toEqual([['a', 'a'], ['b', 'x'], ['c', 'y']])
  })
  it('a name that is gone, or a list that changed otherwise, ends it', () => {
    expect(followed(['a', 'b'], ['a']).get('b')).toBeUndefined()
    expect(followed(['a', 'b'], ['x', 'a']).get('b')).toBeUndefined() // moved and renamed: no telling
    expect([...followed(['a', 'b'], ['b', 'a']).values()]).toEqual(['a', 'b'])
  })
})

describe('hidden, pinned, alone and the yardstick', () => {
  beforeEach(() => {
    answers.length = 0
    sessionStorage.clear()
  })
  async function shown(...names: string[]): Promise<InstanceType<typeof StudyState>> {
    const s = new StudyState('bench')
    answers.push(view(...names))
    await s.load()
    return s
  }

  it('follow a rename, so that what is shown alone stays shown', async () => {
    const s = await shown('one', 'tuned', 'pair')
    s.solo = 'tuned'
    s.yardstick = 'tuned'
    s.toggle('pair')
    s.pin('one')
    answers.push(view('uno', 'deep', 'two'))
    await s.load()
    expect(s.solo).toBe('deep')
    expect(s.yardstick).toBe('deep')
    expect([...s.hidden]).toEqual(['two'])
    expect([...s.pinned]).toEqual(['uno'])
    expect(sessionStorage.getItem('hidden bench')).toBe('["two"]')
    expect(s.visible.map((c) => c.name)).toEqual(['uno', 'deep'])
  })

  it('end with the candidate: nothing that is gone is shown alone', async () => {
    const s = await shown('one', 'tuned')
    s.solo = 'tuned'
    answers.push(view('one'))
    await s.load()
    expect(s.solo).toBe('')
    expect(s.visible.map((c) => c.name)).toEqual(['one'])
  })

  it('a name that was hidden in another visit and is gone by now is no longer kept', async () => {
    sessionStorage.setItem('hidden bench', '["old","one"]')
    expect([...(await shown('one', 'tuned')).hidden]).toEqual(['one'])
    sessionStorage.setItem('hidden bench', '["old"]')
    expect([...(await shown('one')).hidden]).toEqual([]) // and no other takes its place
  })
})

describe('the range that is shown', () => {
  it('says whether it can be, and stays where not', async () => {
    const s = new StudyState('bench')
    answers.push(view('one'))
    expect(s.setRange(500, 400)).toBe(false)
    expect([s.from, s.to]).toEqual([10, 400])
    expect(s.setRange(20, 300)).toBe(true)
    expect([s.from, s.to]).toEqual([20, 300])
  })
})
