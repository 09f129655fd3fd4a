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
