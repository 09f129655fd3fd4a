// What the server tells of its folder while pages are open. A browser keeps at most
// six connections to a server, so all pages of one share a single stream: the page
// that holds the lock reads it and passes on what it hears; when that page closes, the
// next in line opens a new one. Where a browser lends no locks (a page from another
// machine, without TLS), each page has a stream of its own while it can be seen.

import type { Told as Change } from './api'

export type { Change }

export interface Listener {
  /** The stream has begun; what changed before it did is not told. */
  hello(): void
  change(c: Change): void
  /** The stream has ended: why, in the server's words; '' if it does not answer. It is tried again. */
  away(why: string): void
}

type Message = { kind: 'hello' } | { kind: 'runs' } | { kind: 'change'; change: Change } | { kind: 'away'; why: string } | { kind: 'ask' } | { kind: 'again' }
type Tell = (m: Message) => void

const called = 'basswright changes'
/** How long until a stream that ended is tried again, ms. */
const rest = 1000
/** After so long without a sign of life a stream is given up, ms; the server gives one every 15 s. */
const silence = 40_000

/** listen tells what changes; what it returns ends that. */
export function listen(to: Listener): () => void {
  const stop = new AbortController()
  const deliver: Tell = (m) => {
    if (stop.signal.aborted) return
    if (m.kind === 'hello') to.hello()
    else if (m.kind === 'change') to.change(m.change)
    else if (m.kind === 'away') to.away(m.why)
  }
  if ('locks' in navigator && 'BroadcastChannel' in globalThis) share(deliver, stop.signal)
  else alone(deliver, stop.signal)
  return () => stop.abort()
}

/** share has one stream for all pages. */
function share(deliver: Tell, signal: AbortSignal): void {
  const channel = new BroadcastChannel(called)
  signal.addEventListener('abort', () => channel.close())
  const tell: Tell = (m) => {
    last = m.kind === 'change' ? last : m
    deliver(m)
    if (!signal.aborted) channel.postMessage(m)
  }
  /** of the one who leads: how the stream is */
  let last: Message | undefined
  let leads = false
  const again = new EventTarget()
  /** this page has asked how the stream is, and has not been told */
  let asks = true
  channel.onmessage = (e: MessageEvent<Message>) => {
    const m = e.data
    if (leads && m.kind === 'ask' && last) channel.postMessage(last.kind === 'hello' ? { kind: 'runs' } : last)
    else if (leads && m.kind === 'again') again.dispatchEvent(new Event('now'))
    else if (!leads && m.kind !== 'ask' && m.kind !== 'again') {
      if (m.kind !== 'runs') deliver(m)
      else if (asks) deliver({ kind: 'hello' }) // it has begun before this page was there to hear it
      if (m.kind !== 'change') asks = false
      // the timers of a page that leads unseen may be slow
      if (m.kind === 'away') setTimeout(() => !signal.aborted && channel.postMessage({ kind: 'again' }), rest)
    }
  }
  navigator.locks
    .request(called, { signal }, () => {
      leads = true
      return read(tell, signal, again)
    })
    .catch(() => undefined) // given up while in line
  channel.postMessage({ kind: 'ask' })
}

/** alone has a stream of this page, while it can be seen. */
function alone(tell: Tell, signal: AbortSignal): void {
  let mine: AbortController | undefined
  const turn = (): void => {
    if (document.hidden || signal.aborted) {
      mine?.abort()
      mine = undefined
    } else if (!mine) {
      mine = new AbortController()
      void read(tell, mine.signal, new EventTarget())
    }
  }
  document.addEventListener('visibilitychange', turn)
  signal.addEventListener('abort', () => {
    document.removeEventListener('visibilitychange', turn)
    turn()
  })
  turn()
}

/** read reads the stream, again and again, until it is to stop. */
async function read(tell: Tell, signal: AbortSignal, again: EventTarget): Promise<void> {
  while (!signal.aborted) {
    const quiet = new AbortController()
    let alive = setTimeout(() => quiet.abort(), silence)
    let why = ''
    try {
      const answer = await fetch('/api/events', { signal: AbortSignal.any([signal, quiet.signal]), headers: { accept: 'text/event-stream' } })
      if (answer.ok && answer.body) {
        for await (const e of events(answer.body)) {
          clearTimeout(alive)
          alive = setTimeout(() => quiet.abort(), silence)
          if (e.event === 'hello') tell({ kind: 'hello' })
          else if (e.event === 'change') tell({ kind: 'change', change: JSON.parse(e.data) as Change })
        }
      } else why = (await answer.text()).trim() || `the server answered ${answer.status}`
    } catch {
      // it does not answer, or not any more
    }
    clearTimeout(alive)
    if (signal.aborted) return
    tell({ kind: 'away', why })
    await pause(signal, again)
  }
}

function pause(signal: AbortSignal, again: EventTarget): Promise<void> {
  return new Promise((done) => {
    const end = (): void => {
      clearTimeout(timer)
      signal.removeEventListener('abort', end)
      again.removeEventListener('now', end)
      done()
    }
    const timer = setTimeout(end, rest)
    signal.addEventListener('abort', end)
    again.addEventListener('now', end)
  })
}

/** events are those of a stream of server-sent events; a comment is one without a name. */
export async function* events(body: ReadableStream<Uint8Array>): AsyncGenerator<{ event: string; data: string }> {
  const reader = body.pipeThrough(new TextDecoderStream() as ReadableWritablePair<string, Uint8Array>).getReader()
  let kept = ''
  try {
    for (;;) {
      const { done, value } = await reader.read()
      if (done) return
      kept += value
      for (let end = kept.indexOf('\n\n'); end >= 0; end = kept.indexOf('\n\n')) {
        const e = { event: '', data: '' }
        for (const line of kept.slice(0, end).split('\n')) {
          if (line.startsWith('event: ')) e.event = line.slice(7)
          else if (line.startsWith('data: ')) e.data += line.slice(6)
        }
        kept = kept.slice(end + 2)
        yield e
      }
    }
  } finally {
    await reader.cancel().catch(() => undefined)
  }
}
