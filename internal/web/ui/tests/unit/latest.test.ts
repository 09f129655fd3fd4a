import { describe, expect, it } from 'vitest'
import { latest } from '../../src/lib/latest'

describe('latest', () => {
  it('runs once at a time, and once more for all that was asked meanwhile', async () => {
    const open: (() => void)[] = []
    let most = 0
    let under = 0
    const ask = latest(async () => {
      most = Math.max(most, ++under)
      await new Promise<void>((done) => open.push(done))
      under--
    })
    const all = [ask(), ask(), ask(), ask()]
    expect(open.length).toBe(1)
    open[0]?.()
    await new Promise((r) => setTimeout(r))
    expect(open.length).toBe(2)
    open[1]?.()
    await Promise.all(all)
    expect([open.length, most]).toEqual([2, 1])
    const again = ask()
    expect(open.length).toBe(3)
    open[2]?.()
    await again
  })
  it('goes on after a run that failed', async () => {
    let runs = 0
    const ask = latest(async () => {
      if (++runs === 1) throw new Error('once')
    })
    await expect(ask()).rejects.toThrow('once')
    await ask()
    expect(runs).toBe(2)
  })
})
