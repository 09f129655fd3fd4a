// What is typed, stepped, dragged or pasted and not saved yet: it is kept, saved or
// told of, whatever comes in between.
import assert from 'node:assert/strict'
import { chmodSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { saved, until } from './harness.mjs'

export default async function flow({ open, look, text, file, base }) {
  let page = await open('/s/camper-bench/loadings')
  const value = (path) => page.locator(`[data-path="${path}"]`).first()
  const tuning = () => value('candidates.tuned.enclosure.tuning')
  const on = (what) => until(what, () => text('camper-bench').includes(what))
  const put = (study, to) => {
    writeFileSync(`${file(study)}.tmp`, to)
    renameSync(`${file(study)}.tmp`, file(study))
  }
  const note = page.getByRole('alert').filter({ hasText: 'Not saved' })
  await tuning().waitFor()

  // a value that all candidates share is dragged further than anything is kept for
  const asked = []
  page.on('response', (r) => r.status() >= 400 && asked.push(`${r.status()} ${r.url()}`))
  const drive = page.getByRole('spinbutton').filter({ hasText: '75' }).first()
  await drag(page, drive, 60)
  await page.mouse.up()
  await on('power: 135 W')
  assert.deepEqual(asked, [], 'nothing is refused')
  await page.getByRole('button', { name: 'Undo' }).click()
  await on('power: 75 W')
  await saved(page)

  // what cannot be saved says why, until it was read
  chmodSync(file('camper-bench'), 0o444)
  await tuning().focus()
  await page.keyboard.press('+')
  await note.filter({ hasText: 'write-protected' }).waitFor()
  await until('the value is back', async () => /29/.test(await tuning().innerText()))
  await page.waitForTimeout(1500)
  assert.equal(await note.count(), 1, 'the reason stays')
  assert.equal(await page.getByRole('status').filter({ hasText: /^not saved$/ }).count(), 1)
  await look(page, 'refused')
  await note.getByRole('button', { name: 'close' }).click()
  assert.equal(await note.count(), 0)
  chmodSync(file('camper-bench'), 0o644)

  // an undo is for what was being typed
  const before = text('camper-bench')
  const volume = value('candidates.one.enclosure.volume')
  await volume.press('Enter')
  await page.keyboard.press('Control+A')
  await page.keyboard.type('29 L')
  await page.keyboard.press('Enter')
  await on('volume: 29 L')
  const second = text('camper-bench')
  await tuning().press('Enter')
  await page.keyboard.press('Control+A')
  await page.keyboard.type('35 Hz')
  await page.getByRole('button', { name: 'Undo' }).click()
  await page.getByRole('button', { name: 'Redo' }).and(page.getByTitle(/35 Hz/)).waitFor()
  assert.equal(text('camper-bench'), second, 'what was typed is taken back, and nothing else')
  await page.getByRole('button', { name: 'Undo' }).click()
  await until('then the one before', () => text('camper-bench') === before)
  await saved(page)

  // a step that waits for the hand to rest is saved where the page goes
  await tuning().focus()
  await page.keyboard.press('+')
  await page.reload()
  await on('tuning: 30 Hz')
  await until('the page that was read before it was saved shows it too', async () => /30/.test(await tuning().innerText()))
  await tuning().focus()
  await page.keyboard.press('+')
  await page.keyboard.press('P')
  await on('tuning: 31 Hz')
  await page.goBack()

  // what is half typed is asked for
  await tuning().press('Enter')
  await page.keyboard.type('3')
  const question = page.waitForEvent('dialog')
  const leaving = page.reload().catch(() => undefined)
  const dialog = await question
  assert.equal(dialog.type(), 'beforeunload')
  await dialog.accept()
  await leaving
  await tuning().waitFor()
  await on('tuning: 31 Hz')

  // a number that is moved while its candidate gets another name elsewhere
  const one = value('candidates.one.enclosure.volume')
  await drag(page, one, 6)
  await page.getByText('was 28').first().waitFor()
  put('camper-bench', text('camper-bench').replace(/^ {2}one:/m, '  solo:'))
  await page.mouse.up()
  await note.filter({ hasText: 'one' }).waitFor()
  await value('candidates.solo.enclosure.volume').waitFor()
  await note.getByRole('button', { name: 'close' }).click()

  // a sheet that was begun is there after a look elsewhere, and a reload
  await page.getByRole('link', { name: 'Drivers' }).click()
  await page.getByRole('button', { name: 'paste a sheet' }).click()
  const sheet = page.getByRole('textbox', { name: 'The sheet as it is printed' })
  await page.getByRole('textbox', { name: 'It is called' }).fill('teal-8')
  await sheet.fill('Fs 30 Hz\nFlange 208')
  await page.getByRole('row').filter({ hasText: 'Flange 208' }).getByRole('button', { name: 'mm', exact: true }).click()
  await page.getByText('208\u2009mm').waitFor()
  await page.getByRole('button', { name: 'type a sheet' }).click()
  await page.getByRole('link', { name: 'Loadings' }).click()
  await page.getByRole('link', { name: 'Drivers' }).click()
  await page.getByRole('textbox', { name: /^The sheet: a name/ }).waitFor()
  await page.reload()
  await page.getByRole('button', { name: 'paste a sheet' }).click()
  assert.equal(await sheet.inputValue(), 'Fs 30 Hz\nFlange 208')
  assert.equal(await page.getByRole('textbox', { name: 'It is called' }).inputValue(), 'teal-8')
  await page.getByText('208\u2009mm').waitFor() // what was decided holds
  await page.getByRole('button', { name: 'begin again' }).click()
  assert.equal(await sheet.inputValue(), '')

  // a text that was being written outlives its tab
  await page.getByRole('link', { name: 'Text' }).click()
  const area = () => page.getByRole('textbox', { name: 'Text of the study' })
  await until('the text is there', async () => (await area().inputValue()) === text('camper-bench'))
  const requests = []
  page.on('request', (r) => /\/api\/studies\//.test(r.url()) && requests.push(r.url()))
  await area().focus()
  await page.keyboard.press('Control+End')
  await page.keyboard.type('##', { delay: 30 })
  await until('it is checked', () => requests.length > 0)
  await page.waitForTimeout(3000)
  assert.ok(requests.length <= 2, `${requests.length} requests while nothing is done`)
  const draft = await area().inputValue()
  const other = await page.context().newPage()
  await page.close()
  page = other
  await page.goto(`${base}/s/camper-bench/brief`)
  await page.getByText('was written in another tab').waitFor()
  await look(page, 'left')
  await page.getByRole('button', { name: 'go on with it' }).click()
  assert.equal(await area().inputValue(), draft)
  await page.getByRole('button', { name: 'Save' }).click()
  await until('it is saved', () => readFileSync(file('camper-bench'), 'utf8') === draft)

  // an address that is none
  await page.goto(`${base}/s/%FF/brief`)
  await page.getByText('There is no study').waitFor()
}

/** drag takes a number some steps to the right and holds it there. */
async function drag(page, what, steps) {
  await what.scrollIntoViewIfNeeded()
  const box = await what.boundingBox()
  await page.mouse.move(box.x + 5, box.y + box.height / 2)
  await page.mouse.down()
  for (let k = 1; k <= steps; k++) {
    await page.mouse.move(box.x + 5 + 4 * k, box.y + box.height / 2)
    await page.waitForTimeout(25)
  }
}
