import { describe, expect, it, vi } from 'vitest'
import { Course } from '../../src/loadings/large.svelte'
import { decibels, turned } from '../../src/loadings/turning.svelte'
import { Trouble, type Large, type LargeAsk } from '../../src/lib/api'

describe('a number of decibels as typed', () => {
  for (const [text, want] of [['3', 3], ['+1.5 dB', 1.5], ['-2,5dB', -2.5], ['−6 dB', -6], [' .5 ', 0.5]] as const)
    it(text, () => expect(decibels(text)).toBe(want))
  for (const text of ['', 'loud', '3 W', '3 dB more', '-', '1.2.3']) it(`not ${text || 'nothing'}`, () => expect(decibels(text)).toBeUndefined())
})

describe('the drive turned up', () => {
  const watts = { path: 'drive.power', value: 75, unit: 'W', per_db: 10 ** 0.1, first: 0 }
  const volts = { path: 'drive.voltage', value: 2.83, unit: 'V', per_db: 10 ** 0.05, first: 0 }
  it('doubles watts with 3.01 dB', () => expect(turned(watts, 10 * Math.log10(2))).toBe('150 W'))
  it('doubles volts with 6.02 dB', () => expect(turned(volts, 20 * Math.log10(2))).toBe('5.66 V'))
  it('stays where it is with none', () => expect(turned(volts, 0)).toBe('2.83 V'))
  it('is written without powers of ten', () => expect(turned(watts, -40)).toBe('0.0075 W'))
  it('is written in four digits', () => expect(turned(watts, 1)).toBe('94.42 W'))
})

const answer = (words: string, figure = '<svg/>'): Large => ({ revision: 'r', figure, words, x_name: 'Hz', x: [], unit: 'dB', lines: [] })

describe('what is worked out when it is looked at', () => {
  it('is rough at first and then whole, and says how far it is', async () => {
    const seen: (number | undefined)[] = []
    const asked: (number | undefined)[] = []
    const c: Course = new Course('distortion', 's', async (_kind, _study, body) => {
      seen.push(c.done)
      asked.push(body.points)
      return answer(`${body.points}`)
    })
    await c.look({ candidate: 'one' })
    expect(asked).toEqual([14, 53])
    expect(seen[0]).toBe(0)
    expect(seen[1]).toBeGreaterThan(0.15)
    expect([c.seen?.words, c.of, c.busy, c.done]).toEqual(['53', 'one', false, undefined])
  })

  it('drops the answer to a question that was overtaken, and gives it up', async () => {
    const waiting: { body: LargeAsk; signal: AbortSignal; tell: (l: Large) => void }[] = []
    const c = new Course('heat', 's', (_kind, _study, body, signal) => new Promise((tell) => waiting.push({ body, signal, tell })))
    const first = c.look({ candidate: 'one' })
    const second = c.look({ candidate: 'two' })
    expect(waiting.map((w) => w.signal.aborted)).toEqual([true, false])
    waiting[1]?.tell(answer('of two'))
    await second
    waiting[0]?.tell(answer('of one'))
    await first
    expect([c.seen?.words, c.of, c.busy]).toEqual(['of two', 'two', false])
  })

  it('is given up when it is folded', async () => {
    let tell: (l: Large) => void = () => undefined
    const c = new Course('heat', 's', () => new Promise((r) => (tell = r)))
    const look = c.look({ candidate: 'one' })
    expect(c.busy).toBe(true)
    c.stop()
    tell(answer('late'))
    await look
    expect([c.seen, c.busy]).toEqual([undefined, false])
  })

  it('tells why it is not, and keeps what was there', async () => {
    const ask = vi.fn().mockResolvedValueOnce(answer('before')).mockRejectedValueOnce(new Trouble(422, 'a rest needs both', undefined)).mockRejectedValueOnce(new Error('net'))
    const c = new Course('heat', 's', ask)
    await c.look({ candidate: 'one' })
    await c.look({ candidate: 'one' })
    expect([c.problem, c.seen?.words, c.busy]).toEqual(['a rest needs both', 'before', false])
    await c.look({ candidate: 'one' })
    expect(c.problem).toBe('the server does not answer')
  })

  it('looks no closer where there is nothing to see', async () => {
    const ask = vi.fn().mockResolvedValue(answer('there is nothing to draw', ''))
    const c = new Course('distortion', 's', ask)
    await c.look({ candidate: 'one' })
    expect(ask).toHaveBeenCalledTimes(1)
  })
})
