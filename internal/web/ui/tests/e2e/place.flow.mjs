// Where the listener sits: each way of it can be chosen on the brief, filled,
// changed and left out, and the file says so; a cabin has a plain level beside.
import assert from 'node:assert/strict'
import { until } from './harness.mjs'

export default async function flow({ open, look, clean, text }) {
  const page = await open('/s/camper-bench/brief')
  const has = (what) => until(what, () => text('camper-bench').includes(what))
  const lacks = (what) => until(`no ${what}`, () => !text('camper-bench').includes(what))
  const sits = page.getByRole('combobox', { name: 'Where the listener sits' })
  const number = (name) => page.getByRole('spinbutton', { name, exact: true })
  const type = async (name, value) => {
    await number(name).press('Enter')
    await page.keyboard.press('Control+a')
    await page.keyboard.type(value)
    await page.keyboard.press('Enter')
    await page.locator('input.typing').waitFor({ state: 'detached' }) // what stands behind it moves when it goes, also from under a press
  }
  await sits.waitFor()
  assert.equal(await sits.inputValue(), '')

  // a cabin, by its volume
  await sits.selectOption('in a closed cabin')
  await has('cabin: {')
  await type('volume of the cabin', '4.2 m3')
  await has('volume: 4.2 m3')
  await type('resonance of the leak', '9 Hz')
  await has('at: 9 Hz')
  await page.getByText('in a cabin of 4.2\u2009m³', { exact: false }).first().waitFor()
  await look(page, 'brief-cabin')
  await page.getByRole('button', { name: 'Leave out the leak' }).click()
  await lacks('leak')
  await page.getByRole('button', { name: 'Leave out the damping' }).click()
  await lacks('damping')
  await page.getByRole('button', { name: 'no leak' }).click()
  await has('leak: {area: 40 cm2')
  await type('area of the leak', '60 cm2')
  await has('area: 60 cm2')
  await page.getByRole('button', { name: 'no damping' }).click()
  await has('damping: {q: 3}')
  await type('Q of the cabin’s damping', '5')
  await has('damping: {q: 5}')

  // hot or cold
  await page.getByRole('button', { name: 'the temperature of the air below' }).click()
  await has('temperature: -5 C')
  await page.getByRole('button', { name: /^stiffness of suspensions/ }).press('Enter')
  await page.keyboard.type('120 %')
  await page.keyboard.press('Enter')
  await has('stiffness: 120 %')
  await clean(page, 'a cold cabin')

  // the level at the seat, and the plain one beside it
  await page.goto(page.url().replace('/brief', '/loadings'))
  await page.getByText('Plain level').first().waitFor()

  // walls in its place, one more and one less
  await page.goto(page.url().replace('/loadings', '/brief'))
  await sits.selectOption('near walls')
  await has('walls: [0.4 m, 1.2 m]')
  await lacks('cabin:')
  await page.getByRole('button', { name: 'Leave out wall 2' }).click()
  await has('walls: [0.4 m]')
  await page.getByRole('button', { name: 'another wall' }).click()
  await has('walls: [0.4 m, 1 m]') // also where it was pressed before the answer of the last was shown
  await type('distance of wall 2', '2 m')
  await has('walls: [0.4 m, 2 m]')
  await look(page, 'brief-walls')

  // a table that is not there is said, and nothing at all is the open again
  await sits.selectOption('where it was measured')
  await page.getByText('there is no such file', { exact: false }).first().waitFor()
  await clean(page, 'a table that is missing')
  await sits.selectOption('in the open')
  await lacks('transfer:')
}
