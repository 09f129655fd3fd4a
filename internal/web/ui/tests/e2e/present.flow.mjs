const names = ['one', 'pair', 'compound', 'tuned', 'four', 'band']
const long = 'a-very-long-name-of-a-candidate-goes'
const sizes = [[1440, 900], [1024, 768], [768, 1024]]

async function lesson(b, study = 'camper-bench', options = {}, count = names.length) {
  await b.open(`/s/${study}/present`, options)
  await b.page.locator('.lesson canvas').waitFor()
  for (let k = 1; k < count; k++) await b.page.keyboard.press('Space')
  await b.until('all are shown', async () => (await b.page.locator('.pinned .who > :not(.veiled) .v').count()) === count)
}
const boxes = (b, selector) => b.page.locator(selector).evaluateAll((all) => all.map((e) => e.getBoundingClientRect().toJSON()))
const meet = (p, q) => p.left < q.right - 0.5 && q.left < p.right - 0.5 && p.top < q.bottom - 0.5 && q.top < p.bottom - 0.5

/** nothing says that no two boxes of a selector lie over each other, and none leaves the window. */
async function apart(b, selector, width, where) {
  const all = await boxes(b, selector)
  b.assert.ok(all.length > 0, `${selector} ${where}`)
  for (const [i, p] of all.entries()) {
    b.assert.ok(p.left >= 0 && p.right <= width + 0.5, `${selector} ${i} is cut at the edge, ${where}: ${p.left} to ${p.right}`)
    for (const q of all.slice(i + 1)) b.assert.ok(!meet(p, q), `two of ${selector} lie over each other ${where}`)
  }
}

/** eight is a study of six with two more at its end. */
export const eight = (text) => `${text.trimEnd()}\n  one-vented:\n    group: {driver: merlin-10}\n    enclosure: {kind: vented, volume: 28 L, tuning: 36 Hz, port: {diameter: 80 mm}}\n  own:\n    group: {driver: merlin-10, side_by_side: 2, wiring: series}\n    enclosure: {kind: sealed, volume: 29 L}\n`

export default {
  async 'the plot is the largest thing at every size, and nothing is printed over another'(b) {
    b.example('camper-bench')
    b.example('camper-bench', 'long')
    b.write('long', b.read('long').replace(/^study:.*$/m, 'study: A study whose title is as long as a title may be where people write what they mean').replace(/^ {2}tuned:/m, `  ${long}:`))
    for (const study of ['camper-bench', 'long'])
      for (const [width, height] of sizes)
        for (const theme of ['light', 'dark']) {
          await lesson(b, study, { width, height, theme })
          await b.page.waitForTimeout(150)
          const where = `in ${study} at ${width} × ${height}`
          const [plot] = await boxes(b, '.lesson canvas')
          const [row] = await boxes(b, '.pinned')
          const [title] = await boxes(b, 'h1')
          b.assert.ok(plot.height >= height * 0.34, `the plot is ${plot.height} px high ${where}`)
          b.assert.ok(plot.height > row.height && plot.height > 2 * title.height, `the plot is not the largest thing ${where}`)
          b.assert.ok(title.height < height / 12, `the title takes ${title.height} px ${where}`)
          await apart(b, '.lesson h1, .lesson .stage, .lesson .pinned, .lesson > .keys', width, where)
          await apart(b, '.pinned .who > div', width, where)
          await apart(b, '.lesson .over text, .lesson .under text.end, .lesson .under text.value', width, where)
          await apart(b, '.lesson .keys > *', width, where)
          await b.shot(`present-${study}-${width}-${theme}`)
        }
  },

  async 'nothing that was revealed is cut, moves or shrinks, with eight candidates'(b) {
    b.example('camper-bench')
    b.write('camper-bench', eight(b.read('camper-bench')))
    for (const [width, height] of sizes) {
      const where = `at ${width} × ${height}`
      await lesson(b, 'camper-bench', { width, height }, 1)
      await b.page.waitForTimeout(150)
      const begun = await boxes(b, '.pinned .who .v')
      for (let k = 1; k < 8; k++) await b.page.keyboard.press('Space')
      await b.until('all are shown', async () => (await b.page.locator('.pinned .who > :not(.veiled)').count()) === 8)
      const ended = await boxes(b, '.pinned .who .v')
      b.assert.deepEqual(ended, begun, `what was shown has moved ${where}`)
      for (let row = 0; row < 12; row++) {
        await b.until(`row ${row} fits ${where}`, () => b.page.locator('.pinned').evaluate((e) => e.scrollHeight <= e.clientHeight + 1))
        const [below] = await boxes(b, '.pinned')
        for (const p of await boxes(b, '.pinned .q, .pinned .name, .pinned .v, .pinned .plain')) b.assert.ok(p.top >= below.top - 0.5 && p.bottom <= below.bottom + 0.5 && p.right <= below.right + 0.5, `row ${row} is cut ${where}: ${p.top} to ${p.bottom} in ${below.top} to ${below.bottom}`)
        b.assert.ok(Number.parseFloat(await b.page.locator('.pinned .plain').first().evaluate((e) => getComputedStyle(e).fontSize)) >= 10, `its type is too small ${where}`)
        await b.page.keyboard.press('ArrowDown')
        await b.page.waitForTimeout(100)
      }
      const cut = await b.page.locator('.lesson h1, .lesson h1 *, .pinned *').evaluateAll((all) => all.filter((e) => getComputedStyle(e).textOverflow === 'ellipsis').length)
      b.assert.equal(cut, 0, 'a word is cut within')
    }
  },

  async 'a long name gives way to its value in the strips, too'(b) {
    b.example('camper-bench')
    b.write('camper-bench', b.read('camper-bench').replace(/^ {2}tuned:/m, `  ${long}:`))
    for (const width of [1440, 1024, 768]) {
      await b.open('/s/camper-bench/loadings', { width })
      await b.page.locator('.strip canvas').first().waitFor()
      await b.page.waitForTimeout(300)
      await apart(b, '[data-strip=level] text.end, [data-strip=level] text.value', width, `at ${width} px`)
      b.assert.match(await b.page.locator('[data-strip=level] .under').innerHTML(), /a-ver[a-z-]*…/)
    }
  },

  async 'the row says nothing of the hairline but what the strip says'(b) {
    b.example('camper-bench')
    await lesson(b)
    await b.page.keyboard.press('s') // the greatest level
    await b.until('another strip', async () => /Greatest/.test(await b.page.locator('h1').innerText()))
    b.assert.doesNotMatch(await b.page.locator('.pinned').innerText(), /hairline/)
  },

  async 'what is wrong is said here as in the other steps'(b) {
    b.example('camper-bench')
    b.write('camper-bench', b.read('camper-bench').replace('28 L', '28 apples'))
    await b.open('/s/camper-bench/present')
    await b.page.getByRole('heading', { name: '1 to mend' }).waitFor()
    await b.page.getByText('Nothing can be drawn').waitFor()
    b.assert.doesNotMatch(await b.page.locator('h1').innerText(), /undefined|· ?,/)
    b.write('camper-bench', b.read('camper-bench').replace('28 apples', '28 L'))
    await b.page.locator('.lesson canvas').waitFor()
    const start = await b.restart('SIGKILL')
    b.expected.push(/ERR_CONNECTION/, /Failed to load resource/, /ERR_INCOMPLETE/)
    await b.page.getByText('The server does not answer').waitFor()
    await start()
    await b.until('it goes on', async () => (await b.page.getByText('The server does not answer').count()) === 0)
  },

  async 'all hidden is said, and one press shows them'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    for (const n of names) await b.page.getByRole('button', { name: `hide curves of ${n}` }).click()
    await b.page.getByText('All candidates are hidden').waitFor()
    await b.page.getByRole('link', { name: 'Share' }).click()
    await b.page.getByText('All candidates are hidden').waitFor()
    b.assert.equal(await b.page.getByRole('link', { name: 'Save the figure' }).count(), 0, 'no figure of what is not seen')
    await b.page.getByRole('link', { name: 'Present' }).click()
    await b.page.getByText('All candidates are hidden').waitFor()
    await b.page.getByRole('button', { name: 'show all' }).click()
    await b.page.locator('.pinned .v').first().waitFor()
    await b.page.keyboard.press('Escape')
    await b.page.getByRole('link', { name: 'Save the figure' }).waitFor() // it was opened from Share
  },
}
