import { readFileSync } from 'node:fs'

async function saved(b, press) {
  const [download] = await Promise.all([b.page.waitForEvent('download'), press()])
  return { name: download.suggestedFilename(), data: readFileSync(await download.path()) }
}

/** texts are what a figure says, in the order in which it is drawn. */
const texts = (svg) => [...svg.matchAll(/<(?:text|title|desc)[^>]*>([^<]*)</g)].map((m) => m[1])

export default {
  async 'a figure that leaves is what is seen: who is hidden, the range, the difference, the order'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    await b.value('candidates.tuned.enclosure.tuning').waitFor()
    const figure = async () => {
      await b.page.getByRole('link', { name: 'Share', exact: true }).click()
      await b.page.getByRole('img', { name: 'Preview of the figure' }).waitFor()
      const f = texts((await saved(b, () => b.page.getByRole('link', { name: 'Save the figure' }).click())).data.toString())
      await b.page.getByRole('link', { name: 'Loadings' }).click()
      await b.page.locator('.ledger [data-candidate]').first().waitFor()
      return f
    }
    const all = await b.page.locator('[data-candidate]').evaluateAll((list) => list.map((e) => e.dataset.candidate))
    const named = (f) => all.filter((n) => f.includes(n))
    const asItIs = await figure()
    b.assert.deepEqual(named(asItIs), all)
    for (const end of ['10', '400']) b.assert.ok(asItIs.includes(end), `the axis ends at ${end}`)
    b.assert.ok(!asItIs.some((t) => /difference/.test(t)))

    await b.page.getByRole('button', { name: 'hide curves of pair' }).click()
    await b.page.getByRole('spinbutton', { name: 'Lowest frequency shown, Hz' }).fill('20')
    await b.page.keyboard.press('Tab')
    await b.page.getByRole('spinbutton', { name: 'Highest frequency shown, Hz' }).fill('200')
    await b.page.keyboard.press('Tab')
    await b.page.getByRole('combobox', { name: 'Yardstick' }).selectOption('tuned')
    await b.page.getByRole('button', { name: 'values', exact: true }).click()
    await b.until('differences', async () => /dB, from tuned/.test(await b.page.locator('[data-strip=level]').innerText()))
    const f = await figure()
    b.assert.deepEqual(named(f), all.filter((n) => n !== 'pair'), 'who is hidden is left out, and nobody else')
    b.assert.ok(f.some((t) => /difference from tuned/.test(t)), 'the axis says from whom the difference is')
    b.assert.ok(f.includes('20') && f.includes('200') && !f.includes('400') && !f.includes('16') && !f.includes('250'), `the axis is the range that is seen: ${f.join(' | ')}`)
    const raw = (await b.page.request.get(`${b.address}api/studies/camper-bench/figure?show=level&format=svg&size=page&theme=page&from=20&to=200&yardstick=tuned&against=tuned&only=${all.filter((n) => n !== 'pair').join(',')}`)).text()
    b.assert.deepEqual(texts(await raw), f, 'the file is the server’s figure of just that')

    // shown again, and one alone
    await b.page.getByRole('button', { name: 'show curves of pair' }).click()
    await b.page.getByRole('button', { name: 'more for compound' }).click()
    await b.page.getByRole('button', { name: 'show alone' }).click()
    await b.page.getByRole('button', { name: 'differences', exact: true }).click()
    const alone = await figure()
    b.assert.deepEqual(named(alone), ['compound'])
    b.assert.ok(!alone.some((t) => /difference/.test(t)))
  },

  async 'figures leave as SVG, PNG and PDF'(b) {
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

  async 'distortion and heat leave as files too, of who is chosen'(b) {
    b.example('hayloft')
    await b.open('/s/hayloft/share')
    const drawn = b.page.getByRole('combobox', { name: 'What is drawn' })
    const press = () => b.page.getByRole('link', { name: 'Save the figure' }).click()
    await drawn.selectOption('distortion')
    const who = b.page.getByRole('combobox', { name: 'Candidate' })
    await who.selectOption('mirrored')
    const one = await saved(b, press)
    b.assert.equal(one.name, 'hayloft-distortion.svg')
    const says = texts(one.data.toString())
    b.assert.ok(says.some((t) => /^Distortion of mirrored/.test(t)) && says.some((t) => /second harmonic|2nd/i.test(t)), says.join(' | '))
    await drawn.selectOption('heat')
    await b.page.getByRole('combobox', { name: 'How long' }).selectOption('600')
    await b.page.getByRole('combobox', { name: 'Rests' }).selectOption('20/40')
    await b.page.getByRole('combobox', { name: 'Size' }).selectOption('slide')
    await b.until('the preview is there', () => b.page.getByRole('img', { name: 'Preview of the figure' }).evaluate((i) => i.complete && i.naturalWidth > 0))
    const heat = await saved(b, press)
    b.assert.equal(heat.name, 'hayloft-heat.svg')
    b.assert.ok(texts(heat.data.toString()).some((t) => /mirrored/.test(t)), 'who was chosen stays')
    await b.page.getByRole('combobox', { name: 'File format' }).selectOption('pdf')
    b.assert.ok((await saved(b, press)).data.toString('latin1').startsWith('%PDF'))
    await b.shot('share-heat')
  },

  async 'a server that is busy is asked again, which the page says; what it refuses is told'(b) {
    b.example('camper-bench')
    b.expected.push(/Failed to load resource/)
    await b.open('/s/camper-bench/share')
    const preview = b.page.getByRole('img', { name: 'Preview of the figure' })
    await preview.waitFor()
    let asked = 0
    await b.page.route('**/figure?*', async (route) => {
      if (asked++ % 2 === 1) return await route.fallback()
      await route.fulfill({ status: 503, headers: { 'Retry-After': '1' }, contentType: 'application/problem+json', body: JSON.stringify({ detail: 'others are being computed, and this would have waited too long; try again' }) })
    })
    const says = b.page.getByRole('status').filter({ hasText: 'The server is busy (others are being computed' })
    await b.page.getByRole('combobox', { name: 'What is drawn' }).selectOption('excursion')
    await says.waitFor()
    await b.shot('share-busy')
    await says.waitFor({ state: 'detached' })
    b.assert.equal(asked, 2)
    // the file is the preview; of another sort it is asked for, and once more
    const svg = await saved(b, () => b.page.getByRole('link', { name: 'Save the figure' }).click())
    b.assert.ok(svg.data.toString().startsWith('<svg') && asked === 2, `asked ${asked} times`)
    await b.page.getByRole('combobox', { name: 'File format' }).selectOption('pdf')
    const pdf = await saved(b, async () => {
      await b.page.getByRole('link', { name: 'Save the figure' }).press('Enter')
      await says.waitFor()
    })
    b.assert.ok(pdf.name === 'camper-bench-excursion.pdf' && pdf.data.toString('latin1').startsWith('%PDF') && asked === 4, `asked ${asked} times`)
    await b.page.unroute('**/figure?*')
    await b.page.route('**/data/csv?*', (route) => route.fulfill({ status: 422, contentType: 'application/problem+json', body: JSON.stringify({ detail: 'the study cannot be evaluated' }) }))
    await b.page.getByRole('link', { name: /CSV/ }).click()
    await b.page.getByRole('alert').filter({ hasText: 'The table did not come: the study cannot be evaluated.' }).waitFor()
    const json = await saved(b, () => b.page.getByRole('link', { name: /JSON/ }).click())
    b.assert.equal(JSON.parse(json.data).study, 'Camper bench', 'the next file comes all the same')
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
    const shown = () => b.page.locator('.pinned .v:visible').count()
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
