// While a number moves only what is in the window is drawn; the rest follows.
export default {
  async 'out of sight nothing moves with a number, and what is scrolled to or let go follows'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    const number = b.value('drive.power')
    await number.waitFor()
    const row = b.page.getByRole('row', { name: /^Excursion of 12/ }).first()
    const text = () => row.locator('td').first().innerText()
    const curve = (key) => b.page.locator(`[data-strip="${key}"] .over text[text-anchor="end"]`).first().textContent()
    const was = { far: await text(), near: await curve('level') }
    const box = await number.boundingBox()
    await b.page.mouse.move(box.x + 4, box.y + box.height / 2)
    await b.page.mouse.down()
    await b.page.mouse.move(box.x + 60, box.y + box.height / 2, { steps: 8 })
    await b.until('the curve that is in sight follows', async () => (await curve('level')) !== was.near)
    b.assert.equal(await text(), was.far, 'far below nothing is drawn')
    await row.evaluate((e) => scrollTo(0, e.getBoundingClientRect().top + scrollY - 450))
    await b.until('where it is scrolled to, it follows', async () => (await text()) !== was.far)
    await b.page.evaluate(() => scrollTo(0, 0))
    await b.page.mouse.move(box.x + 100, box.y + box.height / 2, { steps: 4 })
    await b.until('the number moves on', async () => (await number.getAttribute('aria-valuenow')) !== '75')
    const moving = await text()
    await b.page.mouse.up()
    await b.until('let go, all follows', async () => (await text()) !== moving)
  },
}
