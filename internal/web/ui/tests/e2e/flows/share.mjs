import { readFileSync } from 'node:fs'

async function saved(b, press) {
  const [download] = await Promise.all([b.page.waitForEvent('download'), press()])
  return { name: download.suggestedFilename(), data: readFileSync(await download.path()) }
}

export default {
  async 'figures leave as SVG, PNG and PDF, as they are shown'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/share')
    await b.page.getByRole('img', { name: 'Preview of the figure' }).waitFor()
    const starts = { svg: '<svg', png: '\x89PNG', pdf: '%PDF' }
    for (const [format, start] of Object.entries(starts)) {
      await b.page.getByRole('combobox', { name: 'File format' }).selectOption(format)
      const f = await saved(b, () => b.page.getByRole('link', { name: 'Save the figure' }).click())
      b.assert.equal(f.name, `camper-bench-level.${format}`)
      b.assert.ok(f.data.toString('latin1').startsWith(start), f.name)
    }
    await b.page.waitForTimeout(300)
    await b.shot('share')
  },

  async 'the report, the data and the study leave as files'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/share')
    const html = await saved(b, () => b.page.getByRole('link', { name: 'The report' }).click())
    b.assert.match(html.data.toString(), /<!doctype html>/i)
    const csv = await saved(b, () => b.page.getByRole('link', { name: /CSV/ }).click())
    b.assert.match(csv.data.toString(), /f3_hz/)
    const json = await saved(b, () => b.page.getByRole('link', { name: /JSON/ }).click())
    b.assert.equal(JSON.parse(json.data).study, 'Camper bench')
    const yaml = await saved(b, () => b.page.getByRole('link', { name: 'The study itself' }).click())
    b.assert.equal(yaml.data.toString(), b.read('camper-bench'))
  },

  async 'a lesson: candidates appear step by step'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/present')
    await b.page.locator('.lesson canvas').waitFor()
    const shown = () => b.page.locator('.pinned .v').count()
    b.assert.equal(await shown(), 1)
    await b.page.keyboard.press('Space')
    await b.page.keyboard.press('Space')
    await b.until('three', async () => (await shown()) === 3)
    await b.shot('present')
    const row = await b.page.locator('.pinned .q').innerText()
    await b.page.keyboard.press('ArrowDown')
    b.assert.notEqual(await b.page.locator('.pinned .q').innerText(), row)
    await b.page.keyboard.press('s')
    await b.until('another strip', async () => /Greatest/.test(await b.page.locator('h1').innerText()))
    await b.page.keyboard.press('s')
    await b.until('a third strip', async () => /Excursion/.test(await b.page.locator('h1').innerText()))
    await b.page.keyboard.press('Escape')
    await b.page.locator('.ledger').waitFor()
  },
}
