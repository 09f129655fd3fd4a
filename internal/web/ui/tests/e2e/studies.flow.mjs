// The list: open, make, duplicate, rename; what cannot be done is said.
import assert from 'node:assert/strict'
import { existsSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { shows, until } from './harness.mjs'

export default async function flow({ open, look, folder, file, text }) {
  writeFileSync(join(folder, 'broken.yaml'), 'study: Broken\ndrivers: {\n')
  symlinkSync('/etc/hostname', join(folder, 'elsewhere.yaml'))
  const page = await open('/')
  const row = (name) => page.getByRole('row').filter({ hasText: name })
  await row('Camper bench').waitFor()
  assert.match(await row('Village hall riser').innerText(), /twelves, aligned, eights, store-room/)
  assert.match(await row('broken.yaml').innerText(), /fault/)
  await shows(page, 'elsewhere.yaml')
  await look(page, 'studies')

  // a file that an editor adds is there at once
  writeFileSync(file('from-editor'), text('workshop-stool').replace('Workshop stool', 'From an editor'))
  await row('From an editor').waitFor()

  // rename, by keyboard alone
  await row('workshop-stool.yaml').getByRole('button', { name: 'rename' }).focus()
  await page.keyboard.press('Enter')
  await page.keyboard.type('stool')
  await page.keyboard.press('Enter')
  await page.getByText('stool.yaml', { exact: true }).waitFor()
  assert.ok(existsSync(file('stool')) && !existsSync(file('workshop-stool')))

  // onto a name that is taken: refused, in words, and nothing is lost
  await row(/(?<!-)stool\.yaml/).getByRole('button', { name: 'rename' }).click()
  await page.keyboard.type('camper-bench')
  await page.keyboard.press('Enter')
  await page.getByRole('alert').filter({ hasText: 'camper-bench' }).waitFor()
  assert.ok(existsSync(file('stool')))

  // duplicate
  await row('camper-bench.yaml').getByRole('button', { name: 'duplicate' }).click()
  assert.equal(await page.getByRole('textbox', { name: 'Name of the new study' }).inputValue(), 'camper-bench-2')
  await page.keyboard.press('Enter')
  await page.waitForURL('**/s/camper-bench-2/loadings')
  assert.equal(text('camper-bench-2'), text('camper-bench').replace('study: Camper bench', 'study: camper-bench-2'), 'a copy carries the name that was asked for as its title')
  await page.getByRole('heading', { level: 1, name: 'camper-bench-2', exact: true }).waitFor()
  assert.equal(await page.title(), 'camper-bench-2 · basswright')
  await page.goBack()
  await row('camper-bench-2.yaml').waitFor()

  // from an example, under a name of one's own
  await page.getByRole('textbox', { name: 'Name of the new study' }).fill('Übungsraum')
  await page.getByRole('combobox', { name: 'What it begins from' }).selectOption('example:hayloft')
  await page.getByRole('button', { name: 'Make it' }).click()
  await page.getByRole('heading', { level: 1, name: 'Übungsraum' }).waitFor()
  await page.goBack()

  // two with the same title are told apart by their names
  writeFileSync(file('twin'), text('camper-bench'))
  await page.getByRole('link', { name: 'Camper bench twin' }).waitFor()
  await page.getByRole('link', { name: 'Camper bench camper-bench', exact: true }).waitFor()
  assert.equal(await page.getByRole('link', { name: 'Village hall riser', exact: true }).count(), 1, 'a title of its own stands alone')

  // a name that leads out of the folder is refused
  const name = page.getByRole('textbox', { name: 'Name of the new study' })
  await name.fill('../outside')
  await page.getByRole('button', { name: 'Make it' }).click()
  await page.getByRole('alert').filter({ hasText: /outside|name/ }).waitFor()
  assert.ok(!existsSync(join(folder, '../outside.yaml')))

  // empty
  await name.fill('bare')
  await page.getByRole('button', { name: 'Make it' }).click()
  await page.waitForURL('**/s/bare/brief')
  await until('the empty study is on disk', () => existsSync(file('bare')))
  await look(page, 'brief-empty')
  await page.getByRole('link', { name: 'put a woofer on the shortlist' }).click()
  await page.waitForURL('**/s/bare/drivers')
  await look(page, 'drivers-empty')

  // as soon as a woofer is there, one press begins the comparison
  writeFileSync(file('bare'), `${text('bare')}drivers: {wren-6: {fs: 45 Hz, qms: 4, qes: 0.5, vas: 12 L, sd: 130 cm2, re: 5.6 ohm}}\n`)
  await page.getByRole('button', { name: /^Begin with one wren-6, sealed, [\d.]+\sL \(total Q/ }).click()
  await until('a candidate is there', () => /candidates:[\s\S]*wren-6/.test(text('bare')))
  await until('there is a result', async () => (await page.getByRole('region', { name: 'Next step' }).count()) === 0)
}
