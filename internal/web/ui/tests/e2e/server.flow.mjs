// The server ends and comes back: the page says so, loses nothing, and goes on.
import assert from 'node:assert/strict'
import { until } from './harness.mjs'

export default async function flow({ open, look, text, down, up }) {
  const page = await open('/s/camper-bench/brief')
  const width = page.getByRole('spinbutton', { name: 'width of the space' })
  await width.waitFor()
  await down('SIGKILL')
  await page.getByRole('alert').filter({ hasText: 'The server does not answer' }).waitFor()
  await look(page, 'server-away')

  // what is typed meanwhile stays where it is, with the reason
  await width.press('Enter')
  await page.keyboard.type('640 mm')
  await page.keyboard.press('Enter')
  await page.getByRole('alert').filter({ hasText: 'enter it again when the server is back' }).waitFor()
  assert.equal(await page.getByRole('textbox', { name: 'width of the space' }).inputValue(), '640 mm')

  await up()
  await until('the page goes on by itself', async () => (await page.getByRole('alert').filter({ hasText: 'does not answer. What' }).count()) === 0)
  await page.getByRole('textbox', { name: 'width of the space' }).press('Enter')
  await until('what was typed is saved', () => text('camper-bench').includes('width: 640 mm'))

  // the history survived
  await page.getByRole('button', { name: 'Undo' }).click()
  await until('and is undone', () => text('camper-bench').includes('width: 700 mm'))

  // the list says so too
  await page.getByRole('link', { name: 'All studies' }).click()
  await page.getByRole('row').filter({ hasText: 'Camper bench' }).waitFor()
  await down()
  await page.getByRole('alert').filter({ hasText: 'does not answer' }).waitFor()
  await up()
  await until('the list goes on', async () => (await page.getByRole('alert').count()) === 0)
}
