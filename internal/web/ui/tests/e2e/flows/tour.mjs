import { join } from 'node:path'

// The pictures of docs/workbench.md, and that what it tells can be seen in them.
export default {
  async 'the tour of the manual'(b) {
    b.example('camper-bench')
    b.example('workshop-stool')
    const picture = async (name) => {
      await b.page.waitForTimeout(400)
      await b.page.screenshot({ path: join(b.shots, `tour-${name}.png`) })
    }
    await b.open('/')
    await b.page.getByRole('link', { name: 'Camper bench' }).waitFor()
    await picture('studies')
    await b.open('/s/camper-bench/brief')
    await b.page.locator('.brief svg[role=img]').first().waitFor()
    await picture('brief')
    await b.open('/s/camper-bench/drivers', { height: 1000 })
    await b.page.locator('thead b', { hasText: 'merlin-10' }).or(b.page.locator('thead').getByText('merlin-10', { exact: true })).last().waitFor()
    await picture('drivers')
    await b.open('/s/camper-bench/loadings', { height: 1200 })
    await b.page.locator('.next').getByRole('button', { name: /vented instead/ }).waitFor()
    await picture('loadings')
    const number = b.value('candidates.tuned.enclosure.tuning')
    await number.scrollIntoViewIfNeeded()
    await number.focus()
    for (let k = 0; k < 4; k++) await b.page.keyboard.press('ArrowUp')
    await b.page.locator('.tape').waitFor()
    await b.page.evaluate(() => scrollTo(0, 0))
    await picture('dragging')
    await b.page.keyboard.press('Escape')
    await b.open('/s/camper-bench/loadings', { height: 1200 })
    await b.page.getByRole('button', { name: 'variations of compound' }).click()
    await b.page.getByRole('button', { name: /^series, 6\.60/ }).waitFor()
    await b.page.locator('.ways .sketch').scrollIntoViewIfNeeded()
    await picture('variations')
    await b.open('/s/camper-bench/present', { theme: 'dark' })
    await b.page.locator('.lesson canvas').waitFor()
    for (let k = 0; k < 3; k++) await b.page.keyboard.press('Space')
    await picture('present')
  },
}
