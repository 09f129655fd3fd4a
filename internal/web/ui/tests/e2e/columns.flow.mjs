import { eight } from './present.flow.mjs'

const looksOf = (b) =>
  b.page.locator('.ledger thead [data-candidate]').evaluateAll((all) =>
    Object.fromEntries(all.map((e) => {
      const line = e.querySelector('.name svg line')
      return [e.dataset.candidate, `${getComputedStyle(line).stroke} ${line.getAttribute('stroke-dasharray')}`]
    })))

export default {
  async 'a candidate keeps its colour and dash when others are added'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    await b.page.locator('.drawing svg').nth(5).waitFor() // a frame after the first strip
    const figures = await b.page.locator('.drawing svg text[text-anchor=middle]').evaluateAll((all) => all.map((e) => e.getBoundingClientRect().height))
    b.assert.ok(figures.length >= 6 && figures.every((h) => h >= 10), `the widths of six sections are ${figures} px high`)
    const before = await looksOf(b)
    b.assert.equal(Object.keys(before).length, 6)
    await b.page.locator('.next').getByRole('button', { name: /one: vented instead/ }).click()
    await b.until('added', async () => Object.keys(await looksOf(b)).length === 7)
    await b.page.getByRole('button', { name: 'more for pair' }).click()
    await b.page.getByRole('button', { name: 'duplicate' }).click()
    await b.until('copied', async () => Object.keys(await looksOf(b)).length === 8)
    const after = await looksOf(b)
    for (const [name, looks] of Object.entries(before)) b.assert.equal(after[name], looks, `${name} has changed its looks`)
    const colours = await b.page.locator('.ledger thead .name b').evaluateAll((all) => all.map((e) => getComputedStyle(e).color))
    b.assert.equal(new Set(colours).size, 8, 'two of eight names have one colour')
    const folded = await b.page.locator('[data-strip=greatest] .line span[style]').evaluateAll((all) => all.map((e) => getComputedStyle(e).color))
    b.assert.equal(new Set(folded).size, 8, 'two of eight have one colour in a folded strip')
  },

  async 'a candidate keeps its colour when others go or move, here, in files, over a reload and an undo'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    const before = await looksOf(b)
    const more = async (name, entry) => {
      await b.page.getByRole('button', { name: `more for ${name}` }).click()
      await b.page.getByRole('list', { name: `For ${name}` }).getByRole('button', { name: entry }).click()
    }
    const same = async (names, when) => {
      await b.until(when, async () => Object.keys(await looksOf(b)).join() === names.join())
      const now = await looksOf(b)
      for (const n of names) if (before[n]) b.assert.equal(now[n], before[n], `${n} has changed its looks: ${when}`)
      return now
    }
    await more('pair', /^remove/)
    const left = ['one', 'compound', 'tuned', 'four', 'band']
    await same(left, 'removed')
    await b.page.reload()
    await same(left, 'removed, and loaded again')
    await more('band', 'move left')
    await same(['one', 'compound', 'tuned', 'band', 'four'], 'moved')
    await more('tuned', 'rename')
    await b.page.getByRole('textbox', { name: 'New name of tuned' }).fill('deep')
    await b.page.keyboard.press('Enter')
    const renamed = await same(['one', 'compound', 'deep', 'band', 'four'], 'renamed')
    b.assert.equal(renamed.deep, before.tuned)
    // the same words in one colour everywhere on the page
    const [, , vermillion] = ['--c1', '--c2', '--c3']
    const of = (name) => b.page.locator('.foot h3', { hasText: new RegExp(`^${name}$`) }).getAttribute('style')
    b.assert.match(await of('compound'), new RegExp(`${vermillion}-text`))
    // and in what leaves it
    await b.page.getByRole('link', { name: 'Share' }).click()
    const figure = await b.page.getByRole('link', { name: 'Save the figure' }).getAttribute('href')
    b.assert.match(figure, /looks=0%2C2%2C3%2C5%2C4/)
    const svg = (await (await b.page.request.get(new URL(figure, b.address).href)).text()).toUpperCase()
    b.assert.ok(!svg.includes('#CC79A7') && svg.includes('#D55E00') && svg.includes('#0072B2'), 'the figure has the page’s colours')
    await b.page.getByRole('link', { name: 'Loadings' }).click()
    for (let k = 0; k < 3; k++) {
      const text = b.read('camper-bench')
      await b.page.getByRole('button', { name: 'Undo' }).click()
      await b.until('undone', () => b.read('camper-bench') !== text)
    }
    b.assert.deepEqual(await same(Object.keys(before), 'all is undone'), before)
  },

  async 'the ledger scrolled sideways shows whole columns beside the names'(b) {
    b.example('camper-bench')
    b.write('camper-bench', eight(b.read('camper-bench')))
    for (const width of [1440, 1024, 768]) {
      await b.open('/s/camper-bench/loadings', { width })
      const ledger = b.page.locator('.ledger')
      await ledger.locator('[data-candidate=own]').waitFor()
      await b.page.getByText(/\d of 8 are in view/).waitFor()
      await ledger.evaluate((e) => { e.scrollLeft = 230 })
      await ledger.locator('tr.group').first().scrollIntoViewIfNeeded()
      await b.page.evaluate(() => scrollBy(0, 400))
      await b.page.waitForTimeout(300)
      const seen = await ledger.evaluate((e) => {
        const box = e.getBoundingClientRect()
        const at = (s) => [...e.querySelectorAll(s)].map((x) => x.getBoundingClientRect().toJSON())
        return { box: box.toJSON(), scrolled: e.scrollLeft, names: at('tbody .row th'), heads: at('thead th:not(:first-child)'), groups: at('.group .kept') }
      })
      const where = `at ${width} px`
      b.assert.ok(seen.scrolled > 100, `it is scrolled ${where}`)
      b.assert.ok(seen.box.left >= 16, `the margin is kept ${where}`)
      for (const n of [...seen.names, ...seen.groups]) b.assert.ok(Math.abs(n.left - seen.box.left) < 1, `a name stands at ${n.left}, the ledger begins at ${seen.box.left}, ${where}`)
      const edge = seen.names[0].right
      for (const h of seen.heads) b.assert.ok(h.right <= edge + 1 || h.left >= edge - 1, `a scrap of a column, ${h.left} to ${h.right}, stands beside the names, which end at ${edge}, ${where}`)
      for (const h of seen.heads.filter((h) => h.left > edge - 1 && h.left < seen.box.right - 1)) b.assert.ok(h.right <= seen.box.right + 1, `a column is cut at the right ${where}`)
      const over = await b.page.locator('main .bar span:visible, .bar[aria-hidden] span:visible').evaluateAll((all) => all.map((x) => x.getBoundingClientRect().left))
      b.assert.ok(over.length > 0 && over.every((l) => l >= edge - 1), `a candidate’s name stands over the names of the rows ${where}: ${over}`)
      // what opens is as wide as what is seen
      const figure = ledger.locator('td button.opens:visible').nth(20)
      await figure.scrollIntoViewIfNeeded()
      await figure.click()
      const opened = await ledger.locator('.why .within').boundingBox()
      b.assert.ok(opened.x >= seen.box.left - 1 && opened.x + opened.width <= seen.box.right + 1, `what opens is cut ${where}`)
      await b.shot(`columns-${width}`)
    }
  },
}
