// The study as text: faults beside the lines while it is written, mends as presses.
import assert from 'node:assert/strict'
import { writeFileSync } from 'node:fs'
import { until } from './harness.mjs'

export default async function flow({ open, look, text, file }) {
  const page = await open('/s/camper-bench/text')
  const area = page.getByRole('textbox', { name: 'Text of the study' })
  await until('the text is there', async () => (await area.inputValue()) === text('camper-bench'))
  const before = text('camper-bench')
  await look(page, 'text')

  const faulty = before.replace('kind: sealed, volume: 28 L', 'kind: sealed, volume: 28').replace('volume: 16 L', 'volumne: 16 L')
  await area.fill(faulty)
  await page.getByRole('button', { name: 'line 51, column 31' }).waitFor()
  assert.equal(text('camper-bench'), before, 'what is written is not saved before it is said')
  await look(page, 'text-faults')
  await page.getByRole('button', { name: 'line 45, column 39' }).click()
  const at = await area.evaluate((a) => a.value.slice(0, a.selectionStart).split('\n').length)
  assert.equal(at, 45, 'the fault’s place is gone to')

  // saved although faulty: it is the person's file
  await page.keyboard.press('Control+s')
  await until('saved', () => text('camper-bench') === faulty)

  // the other steps say so, with the lines, and keep the last good state
  await page.getByRole('link', { name: 'Loadings' }).click()
  await page.getByRole('heading', { name: '2 to mend' }).waitFor()
  await page.getByText('Below: the study as it was').waitFor()
  await look(page, 'faults')
  await page.getByRole('button', { name: '28 dm3' }).click()
  await until('the first is mended', () => text('camper-bench').includes('kind: sealed, volume: 28 dm3'))
  await page.getByRole('button', { name: 'volume', exact: true }).click()
  await until('the second is mended', () => text('camper-bench').includes('volume: 16 L'))
  await until('nothing is left to mend', async () => (await page.getByRole('heading', { name: /to mend/ }).count()) === 0)
  assert.equal(text('camper-bench'), before.replace('volume: 28 L}\n  pair', 'volume: 28 dm3}\n  pair'))

  // what is dropped is not saved
  await page.getByRole('link', { name: 'Text' }).click()
  await area.fill('study: nothing else\n')
  await page.getByRole('button', { name: 'Drop the changes' }).click()
  await until('the text is back', async () => (await area.inputValue()) === text('camper-bench'))

  // leaving the page with something unsaved keeps it for the way back
  await area.fill(`${text('camper-bench')}# a thought\n`)
  await page.getByRole('link', { name: 'Brief' }).click()
  await page.getByRole('spinbutton', { name: 'width of the space' }).waitFor()
  await page.getByRole('link', { name: 'Text' }).click()
  await until('the thought is still there', async () => (await area.inputValue()).endsWith('# a thought\n'))
  await page.getByRole('button', { name: 'Save' }).click()
  await until('it is saved', () => text('camper-bench').endsWith('# a thought\n'))

  // a file with the line ends of another system keeps them, to the byte
  const foreign = `\ufeff${text('workshop-stool').replaceAll('\n', '\r\n')}`
  writeFileSync(file('workshop-stool'), foreign)
  await page.goto(`${new URL(page.url()).origin}/s/workshop-stool/text`)
  await until('its text is there', async () => (await area.inputValue()) === foreign.replaceAll('\r\n', '\n'))
  await area.press('Control+End')
  await page.keyboard.type('# mine\n# two\n')
  await area.press('Control+Home')
  await page.keyboard.press('End')
  await page.keyboard.type(' too')
  await page.keyboard.press('Control+s')
  const [first, ...rest] = foreign.split('\r\n')
  await until('it is saved with its line ends', () => text('workshop-stool') === `${[`${first} too`, ...rest].join('\r\n')}# mine\r\n# two\r\n`)
}
