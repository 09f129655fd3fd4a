// While a number moves only what is in the window is drawn; the rest follows.
export default {
  async 'out of sight nothing moves with a number, and what is scrolled to or let go follows'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    const number = b.value('drive.power')
    await number.waitFor()
    const row = b.page.locator('.ledger tr.row').filter({ has: b.page.locator('th', { hasText: /^Excursion of 12/ }) }).first()
    const text = () => row.locator('td').first().textContent()
    const away = () => b.page.locator('.ledger.away').count()
    const curve = (key) => b.page.locator(`[data-strip="${key}"] text.value`).first().textContent()
    const was = { far: await text(), near: await curve('level') }
    const box = await number.boundingBox()
    await b.page.mouse.move(box.x + 4, box.y + box.height / 2)
    await b.page.mouse.down()
    await b.page.mouse.move(box.x + 60, box.y + box.height / 2, { steps: 8 })
    await b.until('the curve that is in sight follows', async () => (await curve('level')) !== was.near)
    b.assert.equal(await text(), was.far, 'far below nothing is drawn')
    b.assert.equal(await away(), 1, 'and a browser leaves it alone')
    const height = await b.page.evaluate(() => document.documentElement.scrollHeight)
    await row.evaluate((e) => scrollTo(0, e.getBoundingClientRect().top + scrollY - 450))
    await b.until('where it is scrolled to, it follows', async () => (await text()) !== was.far)
    b.assert.equal(await away(), 0)
    b.assert.equal(await b.page.evaluate(() => document.documentElement.scrollHeight), height, 'the page is as long as it was')
    await b.page.evaluate(() => scrollTo(0, 0))
    await b.page.mouse.move(box.x + 100, box.y + box.height / 2, { steps: 4 })
    await b.until('the number moves on', async () => (await number.getAttribute('aria-valuenow')) !== '75')
    const moving = await text()
    await b.page.mouse.up()
    await b.until('let go, all follows', async () => (await text()) !== moving)
    b.assert.equal(await away(), 0)
    // keys may go on to it at once
    await number.focus()
    await b.page.keyboard.press('ArrowUp')
    b.assert.equal(await away(), 0)
    for (let k = 0; k < 40 && !(await b.page.evaluate(() => !!document.activeElement?.closest('.ledger'))); k++) await b.page.keyboard.press('Tab')
    b.assert.ok(await b.page.evaluate(() => !!document.activeElement?.closest('.ledger')), 'Tab leads into the ledger')
  },
}
