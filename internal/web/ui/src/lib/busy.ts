// A server that has too much to do refuses for now (503), and says when to ask again.
import { Trouble } from './api'

/** How often one thing is asked for: what still is not answered then has to be told. */
const tries = 6
/** How long to wait where the server does not say, s. */
const usual = 2

const rest = (s: number): Promise<void> => new Promise((done) => setTimeout(done, 1000 * s))

/** insist asks again while the server is busy, and says each time why it waits; empty words when it does no more. */
export async function insist<T>(ask: () => Promise<T>, waits: (why: string) => void, signal: AbortSignal, pause = rest): Promise<T> {
  for (let left = tries; ; left--) {
    try {
      const answer = await ask()
      if (!signal.aborted) waits('')
      return answer
    } catch (e) {
      if (signal.aborted) throw e
      if (!(e instanceof Trouble) || e.status !== 503 || left <= 1) {
        waits('')
        throw e
      }
      waits(`The server is busy (${e.message.replace(/; try again$/, '')}). This asks again by itself.`)
      await pause(e.after || usual)
      if (signal.aborted) throw e
    }
  }
}
