import { beforeEach, describe, expect, it, vi } from 'vitest'

const press = (key: string, more: Partial<KeyboardEvent> = {}) => ({ key, ctrlKey: false, altKey: false, metaKey: false, ...more })
async function fresh() {
  vi.resetModules()
  return await import('../../src/lib/keys.svelte')
}
beforeEach(() => localStorage.clear())

describe('keys of a single letter', () => {
  it('do what they do, a capital one with shift alone', async () => {
    const { single } = await fresh()
    expect([press('d'), press('D'), press('P'), press('p'), press('?'), press('x'), press('d', { ctrlKey: true })].map((e) => single.does(e))).toEqual(['differences', 'differences', 'present', undefined, 'keys', undefined, undefined])
  })

  it('are given others, which stay, and never twice', async () => {
    const { single, nameOf } = await fresh()
    expect(single.give('differences', 'v')).toBeUndefined()
    expect(single.give('present', nameOf(press('p', { altKey: true })) ?? '')).toBeUndefined()
    expect(single.give('keys', 'V')).toBe('differences')
    const again = (await fresh()).single
    expect([press('d'), press('v'), press('P'), press('p', { altKey: true }), press('?')].map((e) => again.does(e))).toEqual([undefined, 'differences', undefined, 'present', 'keys'])
    expect(again.changed).toBe(true)
    again.reset()
    expect((await fresh()).single.does(press('d'))).toBe('differences')
  })

  it('do nothing where they are off, but with alt', async () => {
    const { single } = await fresh()
    single.give('present', 'alt p')
    single.on = false
    expect([press('d'), press('?'), press('p', { altKey: true })].map((e) => single.does(e))).toEqual([undefined, undefined, 'present'])
  })

  it('leave alone what has its own use, and what another program kept there', async () => {
    const { nameOf } = await fresh()
    expect([press('z', { ctrlKey: true }), press('c', { ctrlKey: true }), press('7'), press('+'), press(' '), press('Enter'), press('d', { metaKey: true })].map(nameOf)).toEqual([undefined, undefined, undefined, undefined, undefined, undefined, undefined])
    localStorage.setItem('keys', '{"differences": 7, "present": ""')
    expect((await fresh()).single.of('differences')).toBe('d')
    localStorage.setItem('keys', 'null')
    expect((await fresh()).single.of('present')).toBe('P')
  })
})
