// The level is turned up until something gives, by hand and at a press, and taken
// back; distortion and heat are worked out when they are opened.
import assert from 'node:assert/strict'
import { shows, until } from './harness.mjs'

export default async function flow({ open, look, clean, text }) {
  const page = await open('/s/camper-bench/loadings')
  const power = () => Number(/power: ([\d.]+) W/.exec(text('camper-bench'))?.[1])
  const dial = page.getByRole('spinbutton', { name: 'drive in dB' })
  const press = page.getByRole('button', { name: 'as loud as it goes' })
  const gives = page.locator('.loud .gives')
  // out of sight while the pointer drags a number, the ledger has no roles
  const gauge = (row, column) => page.locator('.ledger tr.row').filter({ has: page.locator('th', { hasText: row }) }).first().locator('td').nth(column)
  await dial.waitFor()
  const before = text('camper-bench')
  assert.equal(power(), 75)
  assert.match(await gives.innerText(), /^tuned: excursion at 75\.6\s?W/)

  // as loud as one candidate goes: the file says the watts at which it gives
  await page.getByLabel('Whose first limit').selectOption('compound')
  await until('what gives of the compound', async () => /^compound: excursion at \d+/.test(await gives.innerText()))
  const told = Number(/at (\d+)/.exec(await gives.innerText())[1])
  await press.click()
  await until('the drive is set', () => power() > 100)
  assert.ok(Math.abs(power() / told - 1) < 0.005, `${power()} W for ${told} W`) // three digits are told
  await until('it is reached', async () => /just reached/.test(await gives.innerText()))
  assert.ok(await press.isDisabled(), 'there is nothing left to turn')
  await until('its gauge is at the wall', async () => /^12\.0/.test(await gauge(/^Excursion of/, 2).innerText()))
  assert.ok(!(await gauge(/^Excursion of/, 2).locator('.over').count()), 'and not beyond it')
  await look(page, 'loud-reached')

  // by hand from there: gauges and words follow, nothing is written
  const reached = text('camper-bench')
  const box = await dial.boundingBox()
  await page.mouse.move(box.x + 8, box.y + 8)
  await page.mouse.down()
  await page.mouse.move(box.x + 8 + 120, box.y + 8, { steps: 6 })
  await until('it is passed', async () => /passed by 3\.0/.test(await gives.innerText()))
  await gauge(/^Excursion of/, 2).evaluate((e) => scrollTo(0, e.getBoundingClientRect().top + scrollY - 450)) // out of sight nothing is drawn while a number moves
  await until('the gauge follows', async () => (await gauge(/^Excursion of/, 2).locator('.over').count()) > 0)
  assert.equal(text('camper-bench'), reached)
  await page.keyboard.press('Escape')
  await page.mouse.up()
  await until('it is back', async () => /just reached/.test(await gives.innerText()))
  assert.equal(text('camper-bench'), reached)

  // undo takes it back
  await page.getByRole('button', { name: 'Undo' }).click()
  await until('undone', () => text('camper-bench') === before)
  await until('shown', async () => !/just reached/.test(await gives.innerText()))

  // stepped and typed in decibels
  await dial.focus()
  for (let k = 0; k < 3; k++) await page.keyboard.press('Alt+ArrowUp')
  await until('3 dB more', () => Math.abs(power() - 149.6) < 0.1)
  await until('it stands at 0 again', async () => /^0\.0\s?dB/.test(await dial.innerText())) // until then enter would only settle it
  await dial.press('Enter')
  await page.keyboard.press('Control+a')
  await page.keyboard.type('louder')
  await shows(page, 'this is no number of decibels')
  await clean(page, 'a wrong number of decibels')
  await page.keyboard.press('Control+a')
  await page.keyboard.type('-3 dB')
  await page.keyboard.press('Enter')
  await until('3 dB less', () => Math.abs(power() - 75) < 0.1)

  // what the amplifier gives has no number to turn; a press still finds one
  await page.goto(page.url().replace('/loadings', '/brief'))
  await page.getByLabel('Drive of all candidates').selectOption('all that the amplifier gives')
  await until('full', () => /drive: \{amplifier: full\}/.test(text('camper-bench')))
  await page.goto(page.url().replace('/brief', '/loadings'))
  await press.waitFor()
  assert.equal(await dial.count(), 0)
  await press.click()
  await until('volts', () => /drive: \{voltage: [\d.]+ V\}/.test(text('camper-bench')))

  // distortion: folded and not asked for, then worked out
  await page.goto(page.url().replace('camper-bench', 'hayloft'))
  await page.locator('[data-course=distortion]').waitFor()
  const asked = []
  page.on('request', (r) => /distortion|heat/.test(r.url()) && asked.push(r.postDataJSON()))
  await page.waitForTimeout(500)
  assert.deepEqual(asked, [], 'nothing is worked out that nobody looks at')
  await page.getByRole('button', { name: 'open Distortion' }).click()
  const course = page.locator('[data-course=distortion]')
  await course.locator('svg').waitFor()
  await course.locator('p.soft').getByText('THD at most').waitFor()
  await page.getByRole('combobox', { name: 'Distortion: candidate' }).selectOption('mirrored')
  await until('of the other', async () => /mirrored: THD at most/.test(await course.innerText()))
  await until('done', async () => (await course.locator('progress').count()) === 0)
  assert.deepEqual(asked.map((a) => a.points).slice(-2), [14, 53], 'a rough look, then a whole one')
  await page.getByRole('button', { name: 'table of Distortion' }).click()
  assert.ok((await course.locator('tbody tr').count()) > 10)
  const at = async () => await course.locator('.read').innerText()
  const there = await at()
  await page.getByRole('slider', { name: /Hairline/ }).press('ArrowRight')
  await until('the hairline reads it', async () => (await at()) !== there)

  // what is worked out follows the study: a louder drive has more distortion
  const thd = async () => Number(/THD at most −([\d.]+)/.exec(await course.locator('p.soft').innerText())[1])
  const quiet = await thd()
  await press.click()
  await until('it is worked out again', async () => (await course.locator('progress').count()) === 0 && (await thd()) !== quiet)
  await page.getByRole('button', { name: 'open Heat over time' }).click()
  const heat = page.locator('[data-course=heat]')
  await heat.locator('svg').waitFor()
  await page.getByRole('combobox', { name: 'Heat: rests' }).selectOption({ index: 1 })
  await until('with rests', async () => /20\s?s of it and 40\s?s of rest in turn/.test(await heat.locator('p.soft').innerText()))
  await until('both are done', async () => (await page.locator('.course progress').count()) === 0)
  await look(page, 'loud-courses')

  // another figure, and fold: what comes late is dropped
  await page.getByRole('combobox', { name: 'Distortion: candidate' }).selectOption('same-way')
  await page.getByRole('button', { name: 'fold Distortion' }).click()
  await page.waitForTimeout(400)
  assert.equal(await course.locator('svg').count(), 0)
}
