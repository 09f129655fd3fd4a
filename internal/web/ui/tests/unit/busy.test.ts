import { describe, expect, it } from 'vitest'
import { Trouble } from '../../src/lib/api'
import { insist } from '../../src/lib/busy'

const busy = (after = 0) => new Trouble(503, 'others are being computed, and this would have waited too long; try again', undefined, after)

/** asked answers with what is in the list, one after another. */
function asked(...answers: unknown[]) {
  const out = { times: 0, said: [] as string[], paused: [] as number[], under: new AbortController(), ask: async () => {
    const a = answers[Math.min(out.times++, answers.length - 1)]
    if (a instanceof Trouble) throw a
    return a
  } }
  return out
}
const go = (a: ReturnType<typeof asked>, pause: () => void = () => undefined) =>
  insist(a.ask, (why) => a.said.push(why), a.under.signal, async (s) => {
    a.paused.push(s)
    pause()
  })

describe('a busy server', () => {
  it('is asked again when it says so, and what is waited for is told', async () => {
    const a = asked(busy(3), busy(), 'figure')
    expect(await go(a)).toBe('figure')
    expect(a.paused).toEqual([3, 2])
    expect(a.said[0]).toBe('The server is busy (others are being computed, and this would have waited too long). This asks again by itself.')
    expect(a.said.at(-1)).toBe('')
  })
  it('is not asked for ever', async () => {
    const a = asked(busy())
    await expect(go(a)).rejects.toMatchObject({ status: 503 })
    expect(a.times).toBe(6)
    expect(a.said.at(-1)).toBe('')
  })
  it('is not asked again for what it refuses', async () => {
    const a = asked(new Trouble(422, 'heat is drawn of one candidate; choose one', undefined))
    await expect(go(a)).rejects.toMatchObject({ status: 422 })
    expect([a.times, a.paused]).toEqual([1, []])
  })
  it('is not asked again once nobody wants to know', async () => {
    const a = asked(busy(), 'figure')
    await expect(go(a, () => a.under.abort())).rejects.toMatchObject({ status: 503 })
    expect(a.times).toBe(1)
  })
})
