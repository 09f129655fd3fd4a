// What is worked out for one candidate when it is looked at. Of two questions the
// later one counts: the earlier is given up, and its answer dropped.
import { api, got, Trouble, type Large, type LargeAsk } from '../lib/api'
import { insist } from '../lib/busy'

export type Kind = 'distortion' | 'heat'

/** Frequencies of a first look, and of a whole one. */
const rough = 14
const whole = 53

type Send = (kind: Kind, study: string, body: LargeAsk, signal: AbortSignal) => Promise<Large>

const send: Send = (kind, name, body, signal) => got<Large>(api.POST(`/api/studies/{name}/${kind}`, { params: { path: { name } }, body, signal }))

export class Course {
  /** the last answer; kept while a newer one is worked out */
  seen = $state.raw<Large>()
  /** the candidate that it is of */
  of = $state('')
  /** how much of the work is done, 0 to 1; undefined if nothing is under way or it cannot be told */
  done = $state<number>()
  busy = $state(false)
  problem = $state('')
  /** why it is asked for again later */
  waits = $state('')
  private turn = 0
  private under: AbortController | undefined

  constructor(
    private kind: Kind,
    private study: string,
    private ask: Send = send,
  ) {}

  async look(body: LargeAsk): Promise<void> {
    this.stop()
    const turn = this.turn
    const under = new AbortController()
    this.under = under
    this.busy = true
    this.problem = ''
    const steps = this.kind === 'distortion' ? [rough, whole] : [undefined]
    const all = rough + whole
    this.done = this.kind === 'distortion' ? 0 : undefined
    try {
      for (const points of steps) {
        const answer = await insist(
          () => this.ask(this.kind, this.study, points === undefined ? body : { ...body, points }, under.signal),
          (why) => {
            this.waits = why
          },
          under.signal,
        )
        if (turn !== this.turn) return
        this.seen = answer
        this.of = body.candidate
        if (points !== undefined) this.done = points / all
        if (answer.figure === '') break // a closer look shows nothing either
      }
    } catch (e) {
      if (turn !== this.turn) return
      this.problem = e instanceof Trouble ? e.message : 'the server does not answer'
    }
    this.busy = false
    this.done = undefined
  }

  /** stop gives up what is under way. */
  stop(): void {
    this.turn++
    this.under?.abort()
    this.busy = false
    this.waits = ''
    this.done = undefined
  }
}
