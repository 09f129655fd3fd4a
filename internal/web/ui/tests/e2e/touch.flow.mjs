// A tablet at the saw: a number is dragged by a finger, and the page scrolls by one
// that moves up or down.
import assert from 'node:assert/strict'
import { until } from './harness.mjs'

export default async function flow({ open, text }) {
  const page = await open('/s/camper-bench/brief')
  await page.setViewportSize({ width: 768, height: 1024 })
  const cdp = await page.context().newCDPSession(page)
  await cdp.send('Emulation.setTouchEmulationEnabled', { enabled: true })
  const touch = (type, x, y) => cdp.send('Input.dispatchTouchEvent', { type, touchPoints: type === 'touchEnd' ? [] : [{ x, y }] })
  async function slide(from, by) {
    await touch('touchStart', from.x, from.y)
    for (let k = 1; k <= 10; k++) await touch('touchMove', from.x + (by.x * k) / 10, from.y + (by.y * k) / 10)
  }

  const width = page.getByRole('spinbutton', { name: 'width of the space', exact: true })
  await width.waitFor()
  const box = await width.boundingBox()
  const at = { x: box.x + 10, y: box.y + box.height / 2 }
  await slide(at, { x: 40, y: 0 })
  await until('the number follows the finger', async () => (await width.getAttribute('aria-valuenow')) === '710')
  await touch('touchEnd')
  await until('the width on disk', () => text('camper-bench').includes('width: 710 mm'))

  const before = await page.evaluate(() => scrollY)
  await slide(at, { x: 0, y: -300 })
  await touch('touchEnd')
  await until('the page scrolls', async () => (await page.evaluate(() => scrollY)) > before + 100)
  assert.ok(text('camper-bench').includes('width: 710 mm'), 'scrolling changes no number')

  // a tap brings the hairline there, and one that scrolls does not
  await page.goto(page.url().replace('/brief', '/loadings'))
  const reader = page.getByRole('slider', { name: /^Hairline/ })
  await reader.waitFor()
  const plot = await page.locator('[data-strip=level] canvas').boundingBox()
  await touch('touchStart', plot.x + plot.width / 2, plot.y + 60)
  await touch('touchEnd')
  await until('the hairline is where the finger was', async () => Math.abs(Number(await reader.getAttribute('aria-valuenow')) - Math.sqrt(10 * 400)) < 1)
  const fold = await page.getByRole('button', { name: 'raise Excursion' }).boundingBox()
  await touch('touchStart', fold.x + 4, fold.y + 8)
  await touch('touchEnd')
  await page.getByRole('button', { name: 'lower Excursion' }).waitFor()
  assert.ok(Math.abs(Number(await reader.getAttribute('aria-valuenow')) - Math.sqrt(10 * 400)) < 1, 'a press of a button does not move it')

  // sideways it is drawn along as far as the finger goes; up and down the page scrolls and it stays
  const hertz = async () => Number(await reader.getAttribute('aria-valuenow'))
  const drawn = await page.locator('[data-strip=level] canvas').boundingBox()
  const start = { x: drawn.x + 60, y: drawn.y + 80 }
  await slide(start, { x: drawn.width - 120, y: 8 })
  const end = 10 * 40 ** ((drawn.width - 60) / drawn.width)
  await until('it follows to the end', async () => Math.abs((await hertz()) / end - 1) < 0.01)
  await touch('touchEnd')
  const [was, scrolled] = [await hertz(), await page.evaluate(() => scrollY)]
  await slide({ x: drawn.x + 100, y: drawn.y + 180 }, { x: 12, y: -150 })
  await touch('touchEnd')
  await until('the page scrolls', async () => (await page.evaluate(() => scrollY)) > scrolled + 60)
  assert.equal(await hertz(), was, 'a swipe that scrolls leaves the hairline')
}
