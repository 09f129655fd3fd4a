// A study whose number is dragged through a socket: what comes late, and what never comes.
import { beforeEach, expect, it, vi } from 'vitest'
import { answered, asked, opened, quick, settle, to, view } from './served'

class Socket {
  static readonly OPEN = 1
  static last: Socket
  readyState = 0
  sent: string[] = []
  onopen?: () => void
  onmessage?: (e: { data: string }) => void
  onclose?: () => void
  constructor() {
    Socket.last = this
  }
  send(text: string): void {
    this.sent.push(text)
  }
  async answers(body: unknown, status = 200): Promise<void> {
    this.onmessage?.({ data: `${status} answer;dur=1\n${typeof body === 'string' ? body : JSON.stringify(body)}` })
    await settle()
  }
  close(): void {
    this.readyState = 3
    this.onclose?.()
  }
}
beforeEach(() => void vi.stubGlobal('WebSocket', Socket))

/** dragged is a study whose number is in hand, with the first answer taken and the second on its way through the socket. */
async function dragged() {
  const s = await opened({ data: view('r1') })
  s.try(to('701 mm'))
  await settle()
  await answered({ data: quick('r1') })
  Socket.last.readyState = 1
  Socket.last.onopen?.()
  s.try(to('702 mm'))
  await settle()
  expect(asked).toHaveLength(0)
  expect(JSON.parse(Socket.last.sent[0] ?? '')).toMatchObject({ quick: true, changes: to('702 mm') })
  return s
}

it('takes what comes through it, and asks for the newest value next', async () => {
  const s = await dragged()
  s.try(to('703 mm'))
  s.try(to('704 mm'))
  await Socket.last.answers(quick('r1', { text: 'of 702' }))
  expect(s.view?.text).toBe('of 702')
  expect(Socket.last.sent.map((t) => JSON.parse(t).changes[0].value)).toEqual(['702 mm', '704 mm'])
})
it('drops what comes after the number was let go and saved', async () => {
  const s = await dragged()
  const saved = s.commit(to('702 mm'), 'width: 702 mm')
  await settle()
  await answered({ data: view('r2', '702 mm', { text: 'saved' }) })
  expect(await saved).toBe(true)
  await Socket.last.answers(quick('r1', { text: 'late' }))
  expect(s.view?.text).toBe('saved')
  expect(s.dragging).toBe(false)
})
it('asks as all else is asked where it closes in the midst', async () => {
  const s = await dragged()
  Socket.last.close()
  await settle()
  expect(asked.map((q) => [q.path, q.body.changes?.[0]?.value])).toEqual([['try', '702 mm']])
  await answered({ data: quick('r1', { text: 'by request' }) })
  expect(s.view?.text).toBe('by request')
  expect(s.lost).toBe(false)
})
it('says why it is refused, in words or as a problem, and is not lost', async () => {
  for (const body of ['the program failed on this request', { detail: 'the program failed on this request' }]) {
    const s = await dragged()
    await Socket.last.answers(body, 500)
    expect([s.problem, s.lost]).toEqual(['the program failed on this request', false])
  }
})
it('asks as all else is asked where a browser knows no such socket, or what stands between answers', async () => {
  const s = await dragged()
  await Socket.last.answers('', 307)
  expect(asked.map((q) => q.path)).toEqual(['try'])
  await answered({ data: quick('r1') })
  vi.stubGlobal('WebSocket', class { constructor() { throw new SyntaxError('no such address') } })
  const other = await opened()
  other.try(to('701 mm'))
  await settle()
  expect(asked.map((q) => q.path)).toContain('try')
  expect([s.lost, other.lost]).toEqual([false, false])
})
it('has the drawings of the file again with nobody to ask, after however long a drag', async () => {
  const drawn = (n: number | string) => ({ candidates: [{ name: 'a', curves_key: `c${n}`, drawings_key: `d${n}`, wiring_key: `w${n}`, section: `<svg>${n}</svg>`, wiring: '' }] })
  const s = await opened({ data: view('r1', '700 mm', { result: drawn('file') } as never) })
  s.try(to('701 mm'))
  await settle()
  await answered({ data: quick('r1', { result: drawn(0) } as never) })
  Socket.last.readyState = 1
  for (let n = 1; n < 400; n++) {
    s.try(to(`${701 + n} mm`))
    await settle()
    await Socket.last.answers(quick('r1', { result: drawn(n) } as never))
  }
  expect(s.drawing('a')?.section).toBe('<svg>399</svg>')
  Socket.last.close()
  s.lost = true
  void s.cancel()
  await settle()
  expect(s.drawing('a')?.section).toBe('<svg>file</svg>')
})
