// The step that shows the text: what it asks of the server, and how often.
import { fireEvent, render, screen } from '@testing-library/svelte'
import { afterEach, beforeEach, expect, it, vi } from 'vitest'
import { answered, asked, opened, quick, settle, view } from './served'
import TextPanel from '../../src/pages/TextPanel.svelte'

beforeEach(() => void vi.useFakeTimers())
afterEach(() => void vi.useRealTimers())

/** rest lets time pass, and answers what is asked; it tells how much that was. */
async function rest(ms: number): Promise<string[]> {
  const paths: string[] = []
  for (let t = 0; t < ms; t += 10) {
    vi.advanceTimersByTime(10)
    await settle()
    for (; asked.length > 0 && paths.length < 50; await settle()) paths.push((await answered({ data: asked[0]?.path === 'view' ? view('r1') : quick('r1') })).path)
  }
  return paths
}

it('checks a text once the hand rests, and then asks nothing while nothing is done', async () => {
  const s = await opened()
  const { unmount } = render(TextPanel, { study: s })
  await rest(1000)
  const area = screen.getByRole('textbox')
  for (const text of ['width: 7', 'width: 71', 'width: 710']) {
    await fireEvent.input(area, { target: { value: text } })
    expect(await rest(100)).toEqual([])
  }
  expect(await rest(1000)).toEqual(['text'])
  expect(await rest(5000)).toEqual([])

  // coming back to it checks it once, and leaving it shows what is on disk
  unmount()
  expect((await rest(1000)).filter((p) => p === 'text')).toEqual([])
  render(TextPanel, { study: s })
  expect((await rest(5000)).filter((p) => p === 'text')).toEqual(['text'])
})
