// What another program does to the file while the answer to a save is on its way: the
// event is there first, and the answer must not undo what it told.
import { expect, it, vi } from 'vitest'
import type { Told } from '../../src/lib/api'
import { answered, asked, settle, StudyState, view } from './served'

const heard: { change?: (e: Told) => void } = {}
vi.mock('../../src/lib/stream', () => ({
  listen: (to: typeof heard) => {
    heard.change = to.change
    return () => undefined
  },
}))
const tell = (revision: string, gone = false): void => heard.change?.({ name: 'bench', revision, gone, overtaken: 0 } as Told)

async function saving(): Promise<InstanceType<typeof StudyState>> {
  const s = new StudyState('bench')
  s.follow()
  void s.load()
  await settle()
  await answered({ data: view('r1', '', { text: 'good\n' }) })
  void s.setText('mine\n', 'typed')
  await settle()
  return s
}

it('a text that is put back before the answer to a save is seen', async () => {
  const s = await saving()
  tell('r1') // what was there before is back
  await answered({ data: view('r2', '', { text: 'mine\n' }) })
  await settle()
  expect(asked.at(-1)?.path).toMatch(/view$/)
  await answered({ data: view('r1', '', { text: 'good\n' }) })
  expect(s.view?.text).toBe('good\n')
})

it('a file that is removed again before the answer to its being written anew is gone', async () => {
  const s = await saving()
  await answered({ data: view('r2', '', { text: 'mine\n' }) })
  tell('', true)
  expect(s.gone).toBe(true)
  void s.anew()
  await settle()
  tell('', true)
  await answered({ data: view('r3', '', { text: 'mine\n' }) })
  await settle()
  await answered({ error: { detail: 'there is no study bench' }, response: { status: 404 } as Response })
  await settle()
  expect(s.gone).toBe(true)
})

it('what was saved and nothing else is not asked for again', async () => {
  await saving()
  tell('r2')
  await answered({ data: view('r2', '', { text: 'mine\n' }) })
  await settle()
  const views = asked.filter((a) => /view$/.test(a.path) && !(a.body as { suggest?: boolean })?.suggest)
  expect(views).toHaveLength(0)
})
