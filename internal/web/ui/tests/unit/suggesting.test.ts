import { afterEach, expect, it, vi } from 'vitest'
import type { Result } from '../../src/lib/api'
import { answered, asked, opened, quick, refusal, settle, to, view } from './served'

afterEach(() => void vi.useRealTimers())

const names = ['one', 'two']
const looked = (revision: string, words: string) => view(revision, '', { result: { candidates: names.map((name) => ({ name, variants: [{ id: `box-${words}`, words }] })), next: [] } as unknown as Result })
const busy = refusal(503, 'too much is asked at once; try again')

/** looking is a study whose variations are being looked for. */
async function looking() {
  vi.useFakeTimers()
  const s = await opened({ data: looked('r1', '') })
  await vi.advanceTimersByTimeAsync(300)
  expect(asked.map((a) => (a.body as { suggest?: boolean }).suggest)).toEqual([true])
  return s
}

it('variations that a busy server refuses are asked for again', async () => {
  const s = await looking()
  await answered(busy)
  expect([s.fresh, asked.length]).toEqual([false, 0])
  await vi.advanceTimersByTimeAsync(2000)
  await answered({ data: looked('r1', 'sealed') })
  expect([s.fresh, s.variants.get('one')?.[0]?.words]).toEqual([true, 'sealed'])
})

it('ducts that never come are no longer said to be on their way, and are asked for anew', async () => {
  const s = await looking()
  await answered({ data: looked('r1', 'sealed') })
  s.size('one')
  expect(s.sizing('one')).toBe(true)
  await settle()
  await answered({}) // the line is cut
  expect(s.sizing('one')).toBe(false)
  s.size('one')
  await settle()
  await answered({ data: looked('r1', 'horn') })
  expect([s.sizing('one'), s.variants.get('one')?.[0]?.words]).toEqual([false, 'horn'])
})

it('what is refused for a study that has changed since is let be', async () => {
  const s = await looking()
  await answered(busy)
  void s.load()
  await settle()
  await answered({ data: looked('r2', '') })
  await vi.advanceTimersByTimeAsync(2000)
  expect(asked).toHaveLength(1)
  await answered({ data: looked('r2', 'vented') })
  expect([s.fresh, s.variants.get('two')?.[0]?.words]).toEqual([true, 'vented'])
})

it('who begins to drag gives up what is being looked for, and it is asked anew once the number rests', async () => {
  const s = await looking()
  const old = asked.shift()
  s.try(to('710 mm'))
  expect(old?.signal?.aborted).toBe(true)
  await settle()
  await answered({ data: quick('r1', { result: looked('r1', '').result }) })
  s.try(to('720 mm'))
  await settle()
  await answered({ data: quick('r1', { result: looked('r1', '').result }) })
  await vi.advanceTimersByTimeAsync(2000)
  expect(asked).toHaveLength(0) // nothing while it moves
  void s.cancel()
  await settle()
  await answered({ data: looked('r1', '') })
  await vi.advanceTimersByTimeAsync(300)
  await answered({ data: looked('r1', 'sealed') })
  expect([s.fresh, s.variants.get('one')?.[0]?.words]).toEqual([true, 'sealed'])
})
