// History: what differs, in figures and in lines, and the way back.
import assert from 'node:assert/strict'
import { until } from './harness.mjs'

export default async function flow({ open, look, text }) {
  const page = await open('/s/camper-bench/brief')
  const before = text('camper-bench')
  const change = async (name, to) => {
    await page.getByRole('spinbutton', { name, exact: true }).press('Enter')
    await page.keyboard.type(to)
    await page.keyboard.press('Enter')
    await until(to, () => text('camper-bench').includes(to))
  }
  await change('width of the space', '800 mm')
  await change('drive', '120 W')
  await page.getByRole('link', { name: 'Versions' }).click()
  const history = page.getByRole('region', { name: 'History' })
  await history.getByRole('button', { name: /drive: 120 W/ }).first().waitFor()
  await look(page, 'versions')

  await history.getByRole('button', { name: 'as found', exact: true }).click()
  await page.getByRole('heading', { name: 'Figures that differ' }).waitFor()
  await page.getByText('space: {width: 800 mm', { exact: false }).first().waitFor()
  assert.ok((await page.getByRole('table').getByRole('row').count()) > 3, 'the drive changes many figures')
  await look(page, 'versions-compared')

  // two older states with one another
  await page.getByRole('combobox', { name: 'Compare this version' }).selectOption({ index: 2 })
  await until('the figures of the two older ones are the same', async () => (await page.getByText('both come to the same figures').count()) === 1 || (await page.getByRole('table').count()) === 1)

  // another study
  await page.getByRole('combobox', { name: 'Compare this version' }).selectOption('now')
  await page.getByRole('button', { name: 'workshop-stool' }).click()
  await page.getByRole('cell', { name: 'not there' }).first().waitFor()

  // take the first one back: a change like any other
  await page.getByRole('button', { name: /take it back.*as found/ }).click()
  await until('it is as it was found', () => text('camper-bench') === before)
  await page.getByRole('button', { name: 'Undo' }).click()
  await until('that is undone', () => text('camper-bench').includes('width: 800 mm'))
}
