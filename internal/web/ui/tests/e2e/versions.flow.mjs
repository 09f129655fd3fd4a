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
  // from the older to the newer: what is there now was added
  const lines = page.getByRole('region', { name: /^From as found.* to the study as it is now$/ })
  await lines.locator('.new', { hasText: 'space: {width: 800 mm' }).waitFor()
  await lines.locator('.gone', { hasText: 'space: {width: 700 mm' }).waitFor()
  const heads = () => page.getByRole('table').getByRole('columnheader').allInnerTexts()
  const [, , was, is] = await heads()
  assert.match(was, /^as found, /)
  assert.equal(is, 'the study as it is now')
  const rows = await page.getByRole('table').getByRole('row').count()
  assert.ok(rows > 3, 'the drive changes many figures')
  const cells = () => page.getByRole('table').locator('tbody tr').evaluateAll((list) => list.map((r) => [...r.querySelectorAll('td')].slice(1).map((d) => d.textContent)))
  for (const [a, b] of await cells()) assert.notEqual(a, b, 'only what differs is listed')
  await look(page, 'versions-compared')

  // two older states with one another
  const listed = await page.getByRole('combobox', { name: 'Compare this version' }).locator('option').allInnerTexts()
  const width = listed.findIndex((o) => o.startsWith('width of the space'))
  assert.ok(width > 0, listed.join(' | '))
  await page.getByRole('combobox', { name: 'Compare this version' }).selectOption({ index: width })
  // before the drive was changed only the width differs, and from as found to then
  await page.getByRole('region', { name: /^From as found.* to width of the space/ }).waitFor()
  assert.ok((await page.getByRole('region', { name: /^From as found/ }).locator('.new').filter({ hasText: 'drive' }).count()) === 0)
  assert.ok((await page.getByRole('table').getByRole('row').count()) < rows, 'the width changes fewer figures than the drive')

  // another study
  await page.getByRole('combobox', { name: 'Compare this version' }).selectOption('now')
  await page.getByRole('button', { name: 'workshop-stool' }).click()
  await page.getByRole('region', { name: 'From the study workshop-stool to the study as it is now' }).waitFor()
  await page.getByRole('cell', { name: 'not there' }).first().waitFor()
  for (const [a, b] of await cells()) assert.notEqual(a, b, 'what neither has is no difference')
  const lone = await page.getByRole('table').locator('tbody tr', { hasText: 'the candidate' }).count()
  assert.equal(lone, await page.getByRole('table').locator('tbody tr').count(), 'candidates that only one has stand in one line each')

  // take the first one back: a change like any other
  await page.getByRole('button', { name: /go back to this state.*as found/ }).click()
  await until('it is as it was found', () => text('camper-bench') === before)
  await page.getByRole('button', { name: 'Undo' }).click()
  await until('that is undone', () => text('camper-bench').includes('width: 800 mm'))
}
