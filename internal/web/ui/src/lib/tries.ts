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
    return answer === undefined ? api.POST('/api/studies/{name}/try', { params: { path: { name: this.name } }, body }) : outcome(answer)
  }

  /** through is the answer that came through the socket; none, where that is not open, has one to answer, or closes. */
  private through(body: string): Promise<string | undefined> {
    clearTimeout(this.idle)
    this.idle = setTimeout(() => this.socket?.close(), rest)
    this.open()
    const socket = this.socket
    if (socket?.readyState !== WebSocket.OPEN || this.told) return Promise.resolve(undefined)
    return new Promise((told) => {
      this.told = told
      socket.send(body)
    })
  }

  private open(): void {
    if (this.socket || performance.now() < this.refused + again) return
    const socket = new WebSocket(`/api/studies/${encodeURIComponent(this.name)}/tries`)
    this.socket = socket
    const tell = (answer: string | undefined): void => {
      const told = this.told
      this.told = undefined
      told?.(answer)
    }
    let opened = false
    socket.onopen = () => {
      opened = true
    }
    socket.onmessage = (e: MessageEvent<string>) => tell(e.data)
    socket.onclose = () => {
      if (!opened) this.refused = performance.now()
      this.socket = undefined
      tell(undefined)
    }
  }
}

/** outcome reads an answer: its status and timing in the first line, then its body. */
function outcome(answer: string): Outcome {
  const end = answer.indexOf('\n')
  const [status = '', ...timing] = answer.slice(0, end).split(' ')
  const response = new Response(null, { status: Number(status), headers: { 'Server-Timing': timing.join(' ') } })
  const body: unknown = JSON.parse(answer.slice(end + 1))
  return response.ok ? { data: body as View, response } : { error: body, response }
}
