// A folder without a study teaches the next step.
import assert from 'node:assert/strict'
import { existsSync } from 'node:fs'

export const options = { empty: true }

export default async function flow({ open, look, file }) {
  const page = await open('/')
  await page.getByText('No study is in this folder yet').waitFor()
  await look(page, 'studies-none')
  await page.getByRole('button', { name: 'Camper bench' }).press('Enter')
  await page.waitForURL('**/s/camper-bench/loadings')
  await page.getByRole('heading', { level: 1, name: 'Camper bench' }).waitFor()
  assert.ok(existsSync(file('camper-bench')))
}
