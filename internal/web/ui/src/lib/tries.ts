// What would be, asked many times a second while a number moves. As a request of its own
// each costs a browser several times what a message does, so they go through a socket,
// which is opened when a number begins to move and closed once none has for a while.
// Where there is none, or none any more, they are asked as all else is.
import type { components } from '../api.gen'
import { api, type View } from './api'

export type Outcome = { data?: View; error?: unknown; response: Response }
type Try = components['schemas']['Try']

/** How long it stays open with nothing asked, ms. */
const rest = 30_000
/** How long after one that did not open the next is tried, ms. */
const again = 10_000

export class Tries {
  private socket: WebSocket | undefined
  private told: ((answer: string | undefined) => void) | undefined
  private idle: ReturnType<typeof setTimeout> | undefined
  private refused = Number.NEGATIVE_INFINITY

  constructor(private readonly name: string) {}

  async ask(body: Try): Promise<Outcome> {
    const answer = await this.through(JSON.stringify(body))
    return (answer !== undefined && outcome(answer)) || api.POST('/api/studies/{name}/try', { params: { path: { name: this.name } }, body })
  }

  /** through is the answer that came through the socket; none, where that is not open, has one to answer, or closes. */
  private through(body: string): Promise<string | undefined> {
    const socket = this.open()
    if (!socket || socket.readyState !== WebSocket.OPEN || this.told) return Promise.resolve(undefined)
    clearTimeout(this.idle)
    return new Promise((told) => {
      this.told = told
      socket.send(body)
    })
  }
  private tell(answer: string | undefined): void {
    const told = this.told
    this.told = undefined
    told?.(answer)
    clearTimeout(this.idle)
    this.idle = setTimeout(() => this.socket?.close(), rest)
  }

  /** open is the socket, which may be about to open; none where one was refused of late, by the server, the browser or what stands between. */
  private open(): WebSocket | undefined {
    if (this.socket || performance.now() < this.refused + again) return this.socket
    const address = new URL(`/api/studies/${encodeURIComponent(this.name)}/tries`, location.href)
    address.protocol = address.protocol.replace('http', 'ws')
    let socket: WebSocket
    try {
      socket = new WebSocket(address)
    } catch {
      this.refused = performance.now()
      return undefined
    }
    let opened = false
    socket.onopen = () => {
      opened = true
    }
    socket.onmessage = (e: MessageEvent<string>) => this.tell(e.data)
    socket.onclose = () => {
      if (!opened) this.refused = performance.now()
      this.socket = undefined
      this.tell(undefined)
      clearTimeout(this.idle)
    }
    this.socket = socket
    return socket
  }
}

/** outcome reads an answer: its status and timing in the first line, then its body, which may be words of a refusal. None, where it is neither a view nor a refusal. */
function outcome(answer: string): Outcome | undefined {
  const end = answer.indexOf('\n')
  const [status = '', ...timing] = answer.slice(0, end).split(' ')
  const code = Number(status)
  if (code !== 200 && !(code >= 400 && code <= 599)) return undefined
  const response = new Response(null, { status: code, headers: { 'Server-Timing': timing.join(' ') } })
  const text = answer.slice(end + 1)
  if (code === 200) return { data: JSON.parse(text) as View, response }
  try {
    return { error: JSON.parse(text) as unknown, response }
  } catch {
    return { error: text, response }
  }
}
