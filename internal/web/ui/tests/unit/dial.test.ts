// A number that is dragged: it is seen in one frame with the next answer, and does not wait long for that.
import { fireEvent, render, screen } from '@testing-library/svelte'
import { afterEach, beforeEach, expect, it, vi } from 'vitest'
import { answered, asked, field, opened, quick, settle } from './served'
import Dial from '../../src/parts/Dial.svelte'
import { Changing } from '../../src/parts/edit.svelte'

beforeEach(() => {
  vi.useFakeTimers()
  HTMLElement.prototype.setPointerCapture ??= () => undefined
  HTMLElement.prototype.showPopover ??= () => undefined
})
afterEach(() => void vi.useRealTimers())

const at = (): string | null => screen.getByRole('spinbutton').getAttribute('aria-valuenow')
const move = (x: number): Promise<boolean> => fireEvent(screen.getByRole('spinbutton'), new MouseEvent('pointermove', { bubbles: true, clientX: x }))

async function held(): Promise<void> {
  const study = await opened()
  render(Dial, { edit: new Changing(() => ({ study, path: 'space.width', label: 'width' })), field: field('700 mm'), label: 'width', bare: false, text: '' })
  await fireEvent(screen.getByRole('spinbutton'), new MouseEvent('pointerdown', { bubbles: true, button: 0, clientX: 0 }))
  await move(4)
}
const tried = (): string | undefined => asked.at(-1)?.body.changes?.[0]?.value

it('shows at once that it is held', async () => {
  await held()
  expect([at(), tried()]).toEqual(['701', '701 mm'])
})

it('is seen with the next answer, as far as it was moved by then', async () => {
  await held()
  await move(8)
  await move(12)
  expect(at()).toBe('701')
  await answered({ data: quick('r1') })
  expect(at()).toBe('703')
  expect(tried()).toBe('703 mm') // what came between is not asked for
})

it('goes ahead of an answer that is late', async () => {
  await held()
  await move(8)
  vi.advanceTimersByTime(39)
  await settle()
  expect(at()).toBe('701')
  vi.advanceTimersByTime(1)
  await settle()
  expect(at()).toBe('702')
})

it('counts keys from where it was moved to, seen or not', async () => {
  await held()
  await move(8)
  await fireEvent.keyDown(screen.getByRole('spinbutton'), { key: 'ArrowUp' })
  vi.advanceTimersByTime(40)
  await settle()
  expect(at()).toBe('703')
})

it('is let go where it was moved to, though that was not seen yet', async () => {
  await held()
  await move(8)
  await fireEvent(screen.getByRole('spinbutton'), new MouseEvent('pointerup', { bubbles: true, clientX: 8 }))
  await settle()
  expect(at()).toBe('702')
  expect(asked.map((q) => q.body.changes?.[0]?.value)).toContain('702 mm')
})

it('goes back with Escape, and stays there', async () => {
  await held()
  await move(8)
  await fireEvent.keyDown(screen.getByRole('spinbutton'), { key: 'Escape' })
  vi.advanceTimersByTime(100)
  await settle()
  expect(at()).toBe('700')
})
