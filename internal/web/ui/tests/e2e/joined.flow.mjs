// A text is being written here while another program changes the file: other lines are
// joined at once and named; the same lines are shown both, and chosen.
import assert from 'node:assert/strict'
import { renameSync, writeFileSync } from 'node:fs'
import { gone, until } from './harness.mjs'

export default async function flow({ open, look, text, file }) {
  const page = await open('/s/camper-bench/text')
  const area = page.getByRole('textbox', { name: 'Text of the study' })
  const put = (to) => {
    writeFileSync(`${file('camper-bench')}.tmp`, to)
    renameSync(`${file('camper-bench')}.tmp`, file('camper-bench'))
  }
  const before = text('camper-bench')
  await until('the text is there', async () => (await area.inputValue()) === before)
  const panel = page.getByRole('region', { name: 'Changed outside' })

  // other lines: joined while they are written, and the caret stays where it was
  await area.press('Control+End')
  await page.keyboard.type('# mine')
  const first = before.split('\n')[0]
  put(before.replace(first, `# from outside\n${first}`).replace('volume: 28 L', 'volume: 27 L'))
  await panel.getByText('joined with yours').waitFor()
  await until('both are in the text', async () => (await area.inputValue()) === `${text('camper-bench')}# mine`)
  await page.keyboard.type(', still')
  assert.ok((await area.inputValue()).endsWith('# mine, still'), 'the caret stays behind what was typed')
  const at = text('camper-bench').split('\n').findIndex((l) => l.includes('volume: 27 L')) + 1
  await panel.getByRole('button', { name: 'line 1', exact: true }).waitFor()
  await panel.getByRole('button', { name: `line ${at}`, exact: true }).click()
  assert.equal(await area.evaluate((a) => a.value.slice(0, a.selectionStart).split('\n').length), at)
  await look(page, 'text-joined')
  await page.keyboard.press('Control+s')
  await until('both are saved', () => text('camper-bench').startsWith('# from outside\n') && text('camper-bench').includes('volume: 27 L') && text('camper-bench').endsWith('# mine, still'))
  await gone(panel)

  // the same line: both are shown, and nothing is saved before one is chosen
  const mine = text('camper-bench').replace('volume: 27 L', 'volume: 26 L')
  await area.fill(mine)
  const theirs = text('camper-bench').replace('volume: 27 L', 'volume: 31 L').replace('# from outside\n', '')
  put(theirs)
  const meeting = panel.getByRole('group', { name: /^Both changed line/ })
  await meeting.waitFor()
  await panel.getByText('Both texts are in the history').waitFor()
  assert.match(await meeting.innerText(), /volume: 27 L.*volume: 31 L.*volume: 26 L/s)
  assert.equal(await area.inputValue(), mine.replace('# from outside\n', ''), 'the other line is joined, mine stands')
  await page.keyboard.press('Control+s')
  await page.getByRole('alert').filter({ hasText: 'choose which to keep' }).waitFor()
  assert.equal(text('camper-bench'), theirs, 'nothing is written')
  await look(page, 'text-meets')
  // on another step it is said too, and over a reload the choice stays open
  await page.getByRole('link', { name: 'Brief' }).click()
  await page.getByRole('link', { name: /^Text.*otherwise/ }).click()
  await page.reload()
  await meeting.getByRole('button', { name: 'Keep mine' }).click()
  await gone(meeting)
  await page.getByRole('button', { name: 'Save' }).click()
  await until('mine is saved, with what came in other lines', () => text('camper-bench') === mine.replace('# from outside\n', ''))

  // theirs: what was written here is a state of the history
  await area.fill(text('camper-bench').replace('volume: 26 L', 'volume: 25 L # a thought'))
  put(text('camper-bench').replace('volume: 26 L', 'volume: 32 L'))
  await panel.getByText('Both texts are in the history').waitFor()
  await meeting.getByRole('button', { name: 'Keep the file’s' }).click()
  await until('the file’s stands in the text', async () => (await area.inputValue()) === text('camper-bench'))
  const past = await page.evaluate(() => fetch('/api/studies/camper-bench/past').then((r) => r.json()))
  const kept = past.filter((p) => p.overtaken).at(-1)
  assert.match(kept.label, /edited as text/)
  const differs = await page.evaluate((id) => fetch(`/api/studies/camper-bench/against?state=${id}`).then((r) => r.json()), kept.id)
  assert.ok(JSON.stringify(differs.lines).includes('volume: 25 L # a thought'), 'what was given up is in the history')

  // what the person does on another step, or takes back, is not called another’s
  await area.press('Control+End')
  await page.keyboard.type('# a line of mine')
  const undone = text('camper-bench')
  await page.getByRole('button', { name: 'Undo' }).click()
  await until('undone', () => text('camper-bench') !== undone)
  await page.getByRole('heading', { name: 'You changed the file: undo' }).waitFor()
  assert.equal(await page.getByText('changed outside').count(), 0)
  await page.getByRole('button', { name: 'Redo' }).click()
  await until('done again', () => text('camper-bench') === undone)
  await page.getByRole('button', { name: 'Drop the changes' }).click()
}
