import { describe, expect, it } from 'vitest'
import type { Change, Field } from '../../src/lib/api'
import { Changing } from '../../src/parts/edit.svelte'
import { Loose } from '../../src/state/loose'
import type { StudyState } from '../../src/state/study.svelte'

const width = (text: string): Field => ({ path: 'space.width', text, present: true, unit: 'mm', required: false }) as unknown as Field

/** a study whose answers wait to be let go */
function slow() {
  const sent: Change[][] = []
  const looks: (() => void)[] = []
  let now = width('700 mm')
  const study = {
    writing: false,
    loose: new Loose(),
    clash: undefined,
    field: () => now,
    check: () => new Promise<never[]>((done) => looks.push(() => done([]))),
    commit: (changes: Change[]) => {
      sent.push(changes)
      now = width(changes[0]?.value ?? '')
      return Promise.resolve(true)
    },
    cancel: () => Promise.resolve(),
  }
  return { study: study as unknown as StudyState, sent, look: () => looks.shift()?.() }
}

describe('a value that is changed again at once', () => {
  it('says what it replaces where nothing of the person is under way', async () => {
    const s = slow()
    const c = new Changing(() => ({ study: s.study, path: 'space.width', label: 'width' }))
    c.begin()
    const saved = c.save('710 mm')
    s.look()
    expect(await saved).toBe(true)
    expect(s.sent).toEqual([[{ do: 'set', path: 'space.width', value: '710 mm', was: '700 mm' }]])
  })

  it('does not meet itself while the first is still being looked at', async () => {
    const s = slow()
    const c = new Changing(() => ({ study: s.study, path: 'space.width', label: 'width' }))
    c.begin()
    const first = c.save('710 mm')
    c.begin() // the next drag begins before the server has said that 710 mm can stand
    s.look()
    await first
    const second = c.save('720 mm')
    s.look()
    await second
    expect(s.sent[1]).toEqual([{ do: 'set', path: 'space.width', value: '720 mm' }])
  })
})

describe('a typed value whose place has left the page', () => {
  it('is told with why it was not saved', async () => {
    const s = slow()
    const told: string[][] = []
    const study = Object.assign(s.study, { refuse: (what: { label: string }, why: string) => told.push([what.label, why]), check: () => Promise.resolve([{ text: 'no length ends with Q', mend: '' }]) })
    const c = new Changing(() => ({ study, path: 'space.width', label: 'width' }))
    c.type('700 mm')
    expect(await c.save('36 Q')).toBe(false)
    await c.lost('36 Q')
    expect(told).toEqual([['width: 36 Q', 'no length ends with Q']])
    expect(s.sent).toEqual([])
  })
})
