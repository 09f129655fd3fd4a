// The sheet: what follows opens into its equation, what disagrees is marked where
// it stands, with the ways out of it.
import assert from 'node:assert/strict'
import { writeFileSync } from 'node:fs'
import { until } from './harness.mjs'

export default async function flow({ open, look, clean, text, file }) {
  // a sheet that says five things of which four are enough
  writeFileSync(file('village-hall-riser'), text('village-hall-riser').replace('    re: 5.6 ohm\n', '    fs: 26.0 Hz\n    re: 5.6 ohm\n'))
  const page = await open('/s/village-hall-riser/drivers')
  const on = (what) => until(what, () => text('village-hall-riser').includes(what))
  await page.getByRole('columnheader').filter({ hasText: 'heron-8' }).waitFor()
  await look(page, 'drivers')

  // a derived value opens into its formula, with the numbers, and closes by escape
  const total = page.getByRole('button', { name: /^Total Q of heron-8/ })
  await total.press('Enter')
  await page.getByText('Qts = Qms · Qes / (Qms + Qes)').waitFor()
  await clean(page, 'an opened equation')
  await page.keyboard.press('Escape')
  await until('the equation is closed', async () => (await page.getByText('Qts = Qms · Qes').count()) === 0)

  // the contradiction is counted in the bar, marked in its row, and opens
  await page.getByRole('navigation').getByTitle('1 to heed').waitFor()
  const mark = page.getByRole('row', { name: /^Compliance/ }).getByRole('button', { name: /by the others/ })
  await mark.click()
  await page.getByText('the sheet says').waitFor()
  await look(page, 'drivers-disagree')
  const sheet = text('village-hall-riser')

  // each way out, one press and one undo
  await page.getByRole('button', { name: /^Take cms = / }).click()
  await until('the value is taken', () => /cms: 0\.97/.test(text('village-hall-riser')))
  await until('nothing disagrees', async () => (await page.getByRole('button', { name: /by the others/ }).count()) === 0)
  await page.getByRole('button', { name: 'Undo' }).click()
  await until('undone', () => text('village-hall-riser') === sheet)
  await page.getByRole('button', { name: 'Let cms lead' }).click()
  await on('trust: [cms]')
  await page.getByRole('button', { name: 'Undo' }).click()
  await until('undone', () => text('village-hall-riser') === sheet)
  await page.getByRole('button', { name: 'Leave cms out' }).click()
  await until('left out', () => !text('village-hall-riser').includes('cms:'))

  // a given value is changed; what follows from it moves along
  const resonance = page.getByRole('spinbutton', { name: 'Resonance of plover-12' })
  const follows = page.getByRole('button', { name: /^Moving mass of plover-12/ })
  const was = await follows.innerText()
  await resonance.press('Enter')
  await page.keyboard.type('25')
  await page.keyboard.press('Enter')
  await on('fs: 25 Hz')
  await until('the mass follows', async () => (await follows.innerText()) !== was)

  // all that a sheet may give, and one of it given
  await page.getByRole('button', { name: 'all that a sheet may give' }).click()
  await page.getByRole('button', { name: /^Excursion to the stop of plover-12/ }).press('Enter')
  await page.keyboard.type('20 mm')
  await page.keyboard.press('Enter')
  await on('xmech: 20 mm')
  await clean(page, 'all that a sheet may give')

  // duplicate, rename with the candidates that use it, remove
  const head = (name) => page.getByRole('columnheader').filter({ has: page.getByText(name, { exact: true }) })
  await head('plover-12').getByRole('button', { name: 'duplicate' }).click()
  await on('  plover-12-2:')
  await head('plover-12-2').getByRole('button', { name: 'remove' }).click()
  await until('the copy is gone', () => !text('village-hall-riser').includes('plover-12-2'))
  assert.equal(await head('plover-12').getByRole('button', { name: 'remove' }).count(), 0, 'one that is used is not removed')
  await head('plover-12').getByRole('button', { name: 'rename' }).click()
  await page.keyboard.type('dotterel-12')
  await page.keyboard.press('Enter')
  await on('  dotterel-12:')
  await until('its users follow', () => !text('village-hall-riser').includes('plover-12'))
  await head('dotterel-12').waitFor()
}
