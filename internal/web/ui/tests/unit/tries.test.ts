import { beforeEach, describe, expect, it, vi } from 'vitest'
import type { View } from '../../src/lib/api'

const { post } = vi.hoisted(() => ({ post: vi.fn() }))
vi.mock('../../src/lib/api', () => ({ api: { POST: post } }))
const { Tries } = await import('../../src/lib/tries')

/** A socket that does what a test says. */
class Socket {
  static readonly OPEN = 1
  static all: Socket[] = []
  readyState = 0
  sent: string[] = []
  onopen?: () => void
  onmessage?: (e: { data: string }) => void
  onclose?: () => void
  constructor(readonly url: string | URL) {
    Socket.all.push(this)
  }
  send(text: string): void {
    this.sent.push(text)
  }
  opens(): void {
    this.readyState = 1
    this.onopen?.()
  }
  close(): void {
    this.readyState = 3
    this.onclose?.()
  }
}
const asked = { body: 'by request' }
const ask = { quick: true, changes: [] } as unknown as Parameters<InstanceType<typeof Tries>['ask']>[0]
const socket = (): Socket => Socket.all.at(-1) as Socket

beforeEach(() => {
  vi.useFakeTimers()
  vi.stubGlobal('WebSocket', Socket)
  Socket.all = []
  post.mockReset().mockResolvedValue(asked)
})

describe('what would be, through a socket', () => {
  it('is asked as all else until that is open, and then through it', async () => {
    const t = new Tries('mill & loft')
    expect(await t.ask(ask)).toBe(asked)
    expect(String(socket().url)).toBe('ws://localhost:3000/api/studies/mill%20%26%20loft/tries')
    socket().opens()
    const answer = t.ask(ask)
    await Promise.resolve()
    expect(socket().sent).toEqual([JSON.stringify(ask)])
    socket().onmessage?.({ data: '200 answer;dur=2.5\n{"revision":"r"}' })
    const { data, error, response } = await answer
    expect(data).toEqual({ revision: 'r' } as View)
    expect(error).toBeUndefined()
    expect(response.headers.get('Server-Timing')).toBe('answer;dur=2.5')
    expect(post).toHaveBeenCalledTimes(1)
    expect(Socket.all).toHaveLength(1)
  })
  it('brings a refusal as a request would', async () => {
    const t = new Tries('bench')
    await t.ask(ask)
    socket().opens()
    const answer = t.ask(ask)
    socket().onmessage?.({ data: '422 answer;dur=1\n{"detail":"no such place"}' })
    const { data, error, response } = await answer
    expect([data, error, response.status]).toEqual([undefined, { detail: 'no such place' }, 422])
  })
  it('is asked again where it closes before the answer', async () => {
    const t = new Tries('bench')
    await t.ask(ask)
    socket().opens()
    const answer = t.ask(ask)
    socket().close()
    expect(await answer).toBe(asked)
    await t.ask(ask)
    expect(Socket.all).toHaveLength(2)
  })
  it('is not asked twice at once', async () => {
    const t = new Tries('bench')
    await t.ask(ask)
    socket().opens()
    const first = t.ask(ask)
    expect(await t.ask(ask)).toBe(asked)
    expect(socket().sent).toHaveLength(1)
    socket().onmessage?.({ data: '200 \n{}' })
    expect((await first).data).toEqual({})
  })
  it('leaves a server alone that opens none', async () => {
    const t = new Tries('bench')
    await t.ask(ask)
    socket().close()
    for (let k = 0; k < 5; k++) expect(await t.ask(ask)).toBe(asked)
    expect(Socket.all).toHaveLength(1)
    vi.advanceTimersByTime(10_001)
    await t.ask(ask)
    expect(Socket.all).toHaveLength(2)
  })
  it('closes once nothing is asked for a while', async () => {
    const t = new Tries('bench')
    await t.ask(ask)
    socket().opens()
    const answer = t.ask(ask)
    vi.advanceTimersByTime(60_000) // it waits for that as long as it takes
    expect(socket().readyState).toBe(1)
    socket().onmessage?.({ data: '200 \n{}' })
    await answer
    vi.advanceTimersByTime(29_000)
    expect(socket().readyState).toBe(1)
    vi.advanceTimersByTime(1_001)
    expect(socket().readyState).toBe(3)
  })
})
