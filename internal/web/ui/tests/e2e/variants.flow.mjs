export default {
  async 'a variation is one press, and undo takes it back'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    await b.page.getByRole('button', { name: 'variations of compound' }).click()
    const way = b.page.getByRole('button', { name: /^series, 6\.60/ })
    await way.waitFor()
    b.assert.ok(await b.page.locator('.ways .sketch svg').count(), 'the wiring is drawn')
    await b.shot('variations')
    const text = b.read('camper-bench')
    await way.click()
    await b.until('wired in series', () => /clamshell, coupling: 2\.1 L, wiring: series/.test(b.read('camper-bench')))
    await b.page.getByRole('button', { name: 'Undo', exact: true }).click()
    await b.until('as it was', () => b.read('camper-bench') === text)
  },

  async 'every kind that the ledger offers is taken, and is a whole box'(b) {
    const example = 'mill-loft'
    b.example(example)
    await b.open(`/s/${example}/loadings`)
    await b.page.getByRole('region', { name: 'Ledger' }).waitFor()
    const text = b.read(example)
    const names = await b.page.locator('.ledger thead [data-candidate]').evaluateAll((all) => all.map((e) => e.dataset.candidate))
    for (const name of names) {
      const kind = b.value(`candidates.${name}.enclosure.kind`)
      const options = b.page.getByRole('listbox').getByRole('option')
      const offered = async () => {
        await kind.focus()
        await b.until('they have come', async () => {
          if ((await options.count()) === 0) await b.page.keyboard.press('Enter') // what scrolls shuts it
          return (await options.count()) > 1
        })
      }
      await offered()
      const words = await options.allInnerTexts()
      const own = await b.page.locator('[role=listbox] [role=option][aria-selected=true]').allInnerTexts()
      b.assert.equal(own.length, 1, `${name} is one of ${words}`)
      await b.page.keyboard.press('Escape')
      for (const w of words.filter((w) => w !== own[0])) {
        await b.until(`${w} is chosen`, async () => { // rows that come and go move the page, which shuts it
          await offered()
          return options.filter({ hasText: w }).first().click({ timeout: 500 }).then(() => true, () => false)
        })
        await b.until(`${name}: ${w}`, async () => b.read(example) !== text)
        await b.until('and it is told', async () => w.startsWith(await kind.innerText()))
        b.assert.equal(await b.page.locator('.ledger .fault').count(), 0)
        await b.page.getByRole('button', { name: 'Undo', exact: true }).click()
        await b.until('as it was', async () => b.read(example) === text && own[0].startsWith(await kind.innerText()))
      }
    }
  },

  async 'a candidate that suggests itself is added by its sentence'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    await b.page.locator('.next').getByRole('button', { name: /vented instead/ }).click()
    await b.until('added', () => /^ {2}one-vented:/m.test(b.read('camper-bench')))
    await b.until('shown', async () => (await b.page.locator('.ledger thead [data-candidate]').count()) === 7)
    await b.page.locator('.next').getByRole('button', { name: /one of your own: one merlin-10, sealed, \d/ }).click()
    await b.until('added, with a volume worked out from the woofer', () => /^ {2}own:[\s\S]*?driver: merlin-10[\s\S]*?kind: sealed, volume: [\d.]+ L/m.test(b.read('camper-bench')))
  },
}
