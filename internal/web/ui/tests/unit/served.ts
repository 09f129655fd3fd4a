// A server that answers when a test says so, and a study that asks it.
import { beforeEach, vi } from 'vitest'
import type { Change, Field, View } from '../../src/lib/api'

export type Answer = { data?: View; error?: unknown; response: Response }
export interface Asked {
  path: string
  body: { changes?: Change[]; base?: string; have?: string[]; quick?: boolean; text?: string; anew?: boolean; label?: string }
  keepalive: boolean
  signal: AbortSignal | undefined
  answer: (a: Partial<Answer>) => void
}
export const asked: Asked[] = []

vi.mock('../../src/lib/api', async (original) => {
  const real = await original<typeof import('../../src/lib/api')>()
  const ask = (path: string, o: { body?: Asked['body']; keepalive?: boolean; signal?: AbortSignal }): Promise<Answer> =>
    new Promise((resolve, reject) =>
      asked.push({ path: path.split('/').at(-1) ?? '', body: o.body ?? {}, keepalive: o.keepalive ?? false, signal: o.signal, answer: (a) => (a.response === undefined && a.data === undefined ? reject(new TypeError('failed to fetch')) : resolve({ response: new Response(), ...a })) }),
    )
  return { ...real, api: { GET: ask, POST: ask, PUT: ask } }
})
export const { StudyState, mostHave } = await import('../../src/state/study.svelte')

export const field = (text: string): Field => ({ path: 'space.width', key: 'width', sort: 'quantity', present: text !== '', text, number: Number.parseFloat(text), unit: 'mm', step: 1 }) as Field
export const view = (revision: string, text = '700 mm', more: Partial<View> = {}): View => ({ revision, fields: [field(text)], faults: [], drivers: [], text: `width: ${text}`, saved: '2026-11-25T12:00:00Z', undo: '', redo: '', ...more }) as View
export const quick = (revision: string, more: Partial<View> = {}): View => view(revision, '', { fields: [], ...more })
export const to = (value: string): Change[] => [{ do: 'set', path: 'space.width', value }]
export const settle = async (): Promise<void> => {
  for (let k = 0; k < 20; k++) await Promise.resolve()
}
/** refusal is an answer that refuses, in words. */
export const refusal = (status: number, detail: string): Partial<Answer> => ({ error: { detail }, response: new Response(null, { status }) })
/** clashing is the answer to an edit that met another. */
export const clashing = (theirs: string, yours: string, base: string): Partial<Answer> => ({ error: { title: 'changed', theirs, yours, base, lines: [] }, response: new Response(null, { status: 409 }) })
/** answered gives the oldest open request its answer. */
export async function answered(a: Partial<Answer>): Promise<Asked> {
  const q = asked.shift()
  if (!q) throw new Error('nothing is asked')
  q.answer(a)
  await settle()
  return q
}

/** What is tried is asked as all else is: the socket that it would go through never opens. */
class Closed {
  static readonly OPEN = 1
  readonly readyState = 0
  close(): void {}
}
beforeEach(() => {
  vi.stubGlobal('WebSocket', Closed)
  asked.length = 0
  sessionStorage.clear()
  localStorage.clear()
})
export async function opened(first: Partial<Answer> = { data: view('r1') }): Promise<InstanceType<typeof StudyState>> {
  const s = new StudyState('bench')
  void s.load()
  await settle()
  await answered(first)
  return s
}
