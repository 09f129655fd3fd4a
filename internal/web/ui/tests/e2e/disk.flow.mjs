// The file has other editors: what they do shows at once, what meets is never lost.
import assert from 'node:assert/strict'
import { renameSync, rmSync, writeFileSync } from 'node:fs'
import { until } from './harness.mjs'

export default async function flow({ open, look, text, file }) {
  const page = await open('/s/camper-bench/brief')
  const width = page.getByRole('spinbutton', { name: 'width of the space' })
  const type = async (to) => {
    await width.press('Enter')
    await page.keyboard.type(to)
    await page.keyboard.press('Enter')
  }
  await width.waitFor()
  /** As editors save: a new file in the old one's place. */
  const outside = (was, is) => {
    writeFileSync(`${file('camper-bench')}.tmp`, text('camper-bench').replace(was, is))
    renameSync(`${file('camper-bench')}.tmp`, file('camper-bench'))
  }
  outside('width: 700 mm', 'width: 640 mm')
  await until('the change on disk shows', async () => (await width.innerText()) === '640\u2009mm')

  // an edit elsewhere in the file is no hindrance
  await page.route('**/api/events', (r) => r.abort()) // the next change is not told of
  await page.reload()
  await width.waitFor()
  outside('height: 280 mm', 'height: 300 mm')
  await type('650 mm')
  await until('both stand', () => text('camper-bench').includes('width: 650 mm, height: 300 mm'))

  // one in the same place is: both are shown
  await until('the page has its own change', async () => (await width.innerText()) === '650\u2009mm')
  outside('width: 650 mm', 'width: 500 mm')
  await type('900 mm')
  await page.getByRole('heading', { name: 'Two edits meet' }).waitFor()
  assert.ok(text('camper-bench').includes('width: 500 mm'), 'nothing was written over the other’s')
  await page.getByText('width: 900 mm', { exact: false }).first().waitFor()
  await look(page, 'clash')
  await page.getByRole('button', { name: 'Keep theirs' }).click()
  await until('theirs stands', async () => (await width.innerText()) === '500\u2009mm')

  // also where the other came while the value was being typed, and was told of
  await page.unroute('**/api/events')
  await page.reload()
  await width.press('Enter')
  outside('width: 500 mm', 'width: 510 mm')
  await until('the page has heard of it', async () => (await page.getByRole('img', { name: /The space/ }).textContent()).includes('510'))
  await page.keyboard.type('910')
  await page.keyboard.press('Enter')
  await page.getByRole('button', { name: 'Keep mine' }).press('Enter')
  await until('mine stands', () => text('camper-bench').includes('width: 910 mm'))
  assert.ok(text('camper-bench').includes('height: 300 mm'))

  // the one that was not kept is in the history
  await page.getByRole('link', { name: 'Versions' }).click()
  const states = page.getByRole('region', { name: 'History' }).getByRole('list').first().getByRole('listitem')
  await states.first().waitFor()
  let found = false
  for (let k = 0; k < (await states.count()) && !found; k++) {
    await states.nth(k).getByRole('button').first().click()
    await page.getByRole('heading', { name: 'Lines' }).waitFor()
    await page.waitForTimeout(300)
    found = (await page.getByRole('region', { name: /^From / }).textContent()).includes('width: 510 mm')
  }
  assert.ok(found, 'the version with 510 mm is kept')

  // the file disappears, and comes back
  await page.getByRole('heading', { level: 1, name: 'Camper bench' }).waitFor()
  const kept = text('camper-bench')
  rmSync(file('camper-bench'))
  await page.getByRole('alert').filter({ hasText: 'gone from the folder' }).waitFor()
  writeFileSync(file('camper-bench'), kept)
  await until('it is back', async () => (await page.getByRole('alert').count()) === 0)
}
