import { afterEach, expect, it, vi } from 'vitest'
import { events, listen, type Change } from '../../src/lib/stream'

const body = (...chunks: string[]): ReadableStream<Uint8Array> =>
  new ReadableStream({
    start(c) {
      for (const k of chunks) c.enqueue(new TextEncoder().encode(k))
      c.close()
    },
  })

afterEach(() => {
  vi.unstubAllGlobals()
  vi.useRealTimers()
})

it('events are read however they are cut', async () => {
  const text = 'retry: 1000\nevent: hello\ndata: "1"\n\n: \n\nevent: change\ndata: {"name":"Bänke"}\n\n'
  for (const size of [1, 2, 7, 1000]) {
    const bytes = new TextEncoder().encode(text)
    const stream = new ReadableStream<Uint8Array>({
      start(c) {
        for (let k = 0; k < bytes.length; k += size) c.enqueue(bytes.slice(k, k + size))
        c.close()
      },
    })
    const got: { event: string; data: string }[] = []
    for await (const e of events(stream)) got.push(e)
    expect(got).toEqual([{ event: 'hello', data: '"1"' }, { event: '', data: '' }, { event: 'change', data: '{"name":"Bänke"}' }])
  }
})

it('a stream that is refused is told in the server’s words and tried again, one that ends too', async () => {
  vi.useFakeTimers()
  const answers = [
    () => Promise.resolve(new Response('too many pages are open\n', { status: 503 })),
    () => Promise.reject(new TypeError('failed to fetch')),
    () => Promise.resolve(new Response(body('event: hello\ndata: "1"\n\nevent: change\ndata: {"name":"bench","revision":"r2"}\n\n'))),
    () => new Promise<Response>(() => undefined),
  ]
  let asked = 0
  vi.stubGlobal('fetch', () => answers[asked++]?.())
  const told: string[] = []
  const end = listen({ hello: () => told.push('hello'), away: (why) => told.push(`away ${why}`), change: (c: Change) => told.push(`change ${c.name} ${c.revision}`) })
  await vi.advanceTimersByTimeAsync(10_000)
  expect(told).toEqual(['away too many pages are open', 'away ', 'hello', 'change bench r2', 'away '])
  expect(asked).toBe(4)
  end()
  await vi.advanceTimersByTimeAsync(60_000)
  expect(asked).toBe(4)
})

it('where a browser lends no locks, a page that cannot be seen has no stream', async () => {
  vi.useFakeTimers()
  const ended: boolean[] = []
  vi.stubGlobal('fetch', (_: string, o: { signal: AbortSignal }) => {
    const k = ended.push(false) - 1
    return new Promise((_, refuse) =>
      o.signal.addEventListener('abort', () => {
        ended[k] = true
        refuse(o.signal.reason)
      }),
    )
  })
  const seen = vi.spyOn(document, 'hidden', 'get').mockReturnValue(false)
  const end = listen({ hello: () => undefined, away: () => undefined, change: () => undefined })
  await vi.advanceTimersByTimeAsync(10)
  expect(ended).toEqual([false])
  seen.mockReturnValue(true)
  document.dispatchEvent(new Event('visibilitychange'))
  await vi.advanceTimersByTimeAsync(10)
  expect(ended).toEqual([true])
  seen.mockReturnValue(false)
  document.dispatchEvent(new Event('visibilitychange'))
  await vi.advanceTimersByTimeAsync(10)
  expect(ended).toEqual([true, false])
  end()
  await vi.advanceTimersByTimeAsync(10)
  expect(ended).toEqual([true, true])
  seen.mockRestore()
})

it('a page that comes while another has the stream looks at what it may have missed, once', async () => {
  let held = false
  vi.stubGlobal('navigator', {
    locks: {
      request: (_: string, __: unknown, lead: () => Promise<void>) => {
        if (held) return new Promise(() => undefined)
        held = true
        return lead()
      },
    },
  })
  vi.stubGlobal('fetch', () =>
    Promise.resolve(
      new Response(
        new ReadableStream({
          start: (c) => c.enqueue(new TextEncoder().encode('event: hello\ndata: "1"\n\n')), // and it goes on
        }),
      ),
    ),
  )
  const hellos = [0, 0, 0]
  const ends: (() => void)[] = []
  for (const k of hellos.keys()) {
    ends.push(listen({ hello: () => { hellos[k] = (hellos[k] ?? 0) + 1 }, away: () => undefined, change: () => undefined }))
    await vi.waitFor(() => expect(hellos[k]).toBe(1))
    await new Promise((done) => setTimeout(done, 50))
  }
  expect(hellos).toEqual([1, 1, 1])
  for (const end of ends) end()
})
