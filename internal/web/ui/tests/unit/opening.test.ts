import { beforeEach, describe, expect, it } from 'vitest'
import { opening } from '../../src/lib/opening'
import { answered, asked, settle, StudyState, view } from './served'

const put = (data: unknown): void => {
  const block = document.createElement('script')
  block.type = 'application/json'
  block.id = 'opening'
  block.textContent = JSON.stringify(data)
  document.body.append(block)
}

describe('what a page opens with', () => {
  beforeEach(() => {
    document.body.replaceChildren()
    asked.length = 0
  })

  it('is there once, for its study alone', () => {
    expect(opening('bench')).toBeUndefined()
    put(view('r1', '700 mm', { name: 'bench' }))
    expect(opening('bench')?.data?.revision).toBe('r1')
    expect(opening('bench')).toBeUndefined()
    put(view('r1', '700 mm', { name: 'bench' }))
    expect(opening('loft')).toBeUndefined()
    expect(opening('bench')).toBeUndefined()
    put({ name: 'bench' })
    const block = document.getElementById('opening')
    if (block) block.textContent = '{"name": "ben'
    expect(opening('bench')).toBeUndefined()
    expect(document.getElementById('opening')).toBeNull()
  })

  it('is shown without asking; the next time the server is asked', async () => {
    put(view('r1', '700 mm', { name: 'bench' }))
    const s = new StudyState('bench')
    await s.load()
    expect(asked).toEqual([])
    expect(s.view?.revision).toBe('r1')
    expect(s.field('space.width')?.text).toBe('700 mm')
    const again = s.load()
    await settle()
    await answered({ data: view('r2', '800 mm', { name: 'bench' }) })
    await again
    expect(s.view?.revision).toBe('r2')
  })
})
