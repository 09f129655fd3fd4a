// A study begun from nothing, and taken back to nothing: the page shows what the file is.
const sheet = 'wren-6: {fs: 45 Hz, qms: 4, qes: 0.5, vas: 12 L, sd: 130 cm2, re: 5.6 ohm, bl: 12 T m, sensitivity: {level: 95 dB, at: 1 W}}'

export default {
  async 'undo to a study without candidates, and without woofers, shows one that has none'(b) {
    const until = b.until
    const page = await b.open('/')
    await page.getByRole('textbox', { name: 'Name of the new study' }).fill('bare')
    await page.getByRole('button', { name: 'Make it' }).click()
    await page.waitForURL('**/s/bare/brief')
    await until('it is on disk', () => b.read('bare') !== '')
    const undo = page.getByRole('button', { name: 'Undo' })
    const redo = page.getByRole('button', { name: 'Redo' })
    const status = page.getByRole('status').first()
    await until('there is nothing to take back', () => undo.isDisabled())

    await page.getByRole('link', { name: 'Drivers' }).click()
    await page.getByRole('button', { name: 'type a sheet' }).waitFor()
    b.write('bare', `${b.read('bare')}drivers:\n  ${sheet}\n`)
    await page.getByText('2 values disagree').waitFor()
    b.assert.equal(await page.locator('td.heed').count(), 2, 'as many are marked as are told of')
    await page.getByRole('button', { name: /^Begin with one wren-6/ }).click()
    await until('it is begun', () => /candidates:/.test(b.read('bare')))
    await page.getByRole('link', { name: 'Loadings' }).click()
    await page.getByRole('grid', { name: 'Candidates' }).waitFor()

    const begun = b.read('bare')
    await undo.click()
    await page.getByRole('region', { name: 'Next step' }).waitFor()
    b.assert.ok(!/candidates:/.test(b.read('bare')))
    await until('nothing of the candidate is left', async () => (await page.locator('.strips, .ledger').count()) === 0)
    await page.getByRole('link', { name: 'Drivers' }).click()
    await page.getByText('2 values disagree').waitFor()

    // what it had comes back with it
    await redo.click()
    await until('it is there again', () => b.read('bare') === begun)
    await page.getByRole('link', { name: 'Loadings' }).click()
    await page.getByRole('grid', { name: 'Candidates' }).waitFor()
    await undo.click()
    await page.getByRole('region', { name: 'Next step' }).waitFor()

    // and without woofers
    await undo.click()
    await page.getByRole('link', { name: 'put a woofer on the shortlist' }).waitFor()
    await page.getByRole('link', { name: 'Drivers' }).click()
    await page.getByText('No woofer is here yet').waitFor()
    b.assert.equal(await page.getByText('disagree').count(), 0)
    b.assert.equal(await page.getByRole('navigation', { name: 'Steps' }).locator('.mark').count(), 0)
    await until('there is nothing to take back', () => undo.isDisabled())
    await page.waitForTimeout(1000)
    b.assert.equal(await undo.isDisabled(), true)
    b.assert.doesNotMatch(await status.innerText(), /not saved/)
    await b.look('drivers-taken-back')
  },
}
