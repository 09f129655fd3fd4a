// A sheet pasted as it is printed: what was understood stands line by line before
// it is taken, and what only a person can decide is asked.
import assert from 'node:assert/strict'
import { until } from './harness.mjs'

const printed = `Teal 8, data sheet
Fs 30,5 Hz
Qms: 4.9
Qes = 0.49
Equivalent volume   1.55 ft³
Sd 214 cm²
Xmax (p-p) 24 mm
Re 5.6 ohm
Le 0.9 mH
Flange 208
Colour black`

export default async function flow({ open, look, clean, text }) {
  const page = await open('/s/camper-bench/drivers')
  const before = text('camper-bench')
  await page.getByRole('button', { name: 'paste a sheet' }).press('Enter')
  const area = page.getByRole('textbox', { name: 'The sheet as it is printed' })
  await look(page, 'sheet-empty')
  await area.fill(printed)
  const row = (says) => page.getByRole('row').filter({ has: page.getByRole('rowheader', { name: says, exact: true }) })
  await row('Fs 30,5 Hz').getByText('30.5\u2009Hz').waitFor()
  assert.match(await row('Xmax (p-p) 24 mm').innerText(), /xmax peak to peak 24\u2009mm/)
  assert.match(await row('Equivalent volume   1.55 ft³').innerText(), /vas 1\.55\u2009ft³/)
  assert.match(await row('Colour black').innerText(), /passed over/)
  await page.getByText('From these follow').waitFor()

  // what is in doubt is asked, and nothing is taken before it is answered
  const take = page.getByRole('button', { name: 'Take it into the shortlist' })
  assert.ok(await take.isDisabled())
  assert.match(await row('Flange 208').innerText(), /unit/)
  await look(page, 'sheet')
  await row('Flange 208').getByRole('button', { name: 'mm', exact: true }).click()
  await row('Flange 208').getByText('208\u2009mm').waitFor()

  // a name that is taken is refused in words
  const name = page.getByRole('textbox', { name: 'It is called' })
  await name.fill('merlin-10')
  await take.click()
  await page.getByRole('alert').filter({ hasText: 'there is a woofer called merlin-10 already', ignoreCase: true }).waitFor()
  assert.equal(text('camper-bench'), before)
  // one that a study does not take is refused beside the field, with one that it takes
  await name.fill('Möwe 10')
  await page.getByText('such as moewe-10', { exact: false }).waitFor()
  assert.equal(await name.getAttribute('aria-invalid'), 'true')
  await take.click()
  await page.waitForTimeout(300)
  assert.equal(text('camper-bench'), before, 'nothing is written under a name that the study refuses')
  await name.fill('teal-8')
  await take.click()
  await page.getByRole('columnheader').filter({ hasText: 'teal-8' }).waitFor()
  await until('it is in the file', () => /teal-8:[\s\S]*fs: 30\.5 Hz[\s\S]*xmax_peak_to_peak: 24 mm/.test(text('camper-bench')))
  assert.ok(text('camper-bench').includes('flange: 208 mm'))
  await look(page, 'drivers-two')

  // typed: the names are there, the values are written behind them
  await page.getByRole('button', { name: 'type a sheet' }).click()
  const sheet = page.getByRole('textbox', { name: /^The sheet: a name, a value and a unit/ })
  await sheet.fill((await sheet.inputValue()).replace('fs ', 'fs 45').replace('Qms ', 'Qms 4').replace('Qes ', 'Qes 0.5').replace('Vas ', 'Vas 0.4 ft3').replace('Sd ', 'Sd 130 cm2').replace('Re ', 'Re 5.6'))
  await row('fs 45').waitFor()
  await clean(page, 'a sheet being typed')
  for (const says of ['fs 45', 'Re 5.6']) {
    const question = row(says).getByRole('button')
    if ((await question.count()) > 0) await question.first().click()
  }
  await name.fill('wren-6')
  await until('it can be taken', async () => !(await take.isDisabled()))
  await take.click()
  await until('it is in the file', () => /wren-6:[\s\S]*vas: 0\.4 ft3/.test(text('camper-bench')))
  await page.getByRole('button', { name: 'Undo' }).click()
  await until('one press takes it back', () => !text('camper-bench').includes('wren-6'))
}
