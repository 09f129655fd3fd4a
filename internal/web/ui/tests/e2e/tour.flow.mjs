import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const docs = join(dirname(fileURLToPath(import.meta.url)), '../../../../../docs')
const begun = Date.now()

/** apart is, in the page, the share of two pictures' blocks of 16 px that do not look alike; 1 where their sizes differ. */
async function apart([a, b]) {
  const seen = async (data) => {
    const bits = await createImageBitmap(await (await fetch(data)).blob())
    const small = new OffscreenCanvas(Math.ceil(bits.width / 16), Math.ceil(bits.height / 16))
    const on = small.getContext('2d')
    on.imageSmoothingQuality = 'high'
    on.drawImage(bits, 0, 0, small.width, small.height)
    return { width: bits.width, height: bits.height, of: on.getImageData(0, 0, small.width, small.height).data }
  }
  const [x, y] = [await seen(a), await seen(b)]
  if (x.width !== y.width || x.height !== y.height) return 1
  let blocks = 0
  for (let k = 0; k < x.of.length; k += 4) if (Math.abs(x.of[k] - y.of[k]) + Math.abs(x.of[k + 1] - y.of[k + 1]) + Math.abs(x.of[k + 2] - y.of[k + 2]) > 60) blocks++
  return blocks / (x.of.length / 4)
}

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
    for (let k = 0; k < 4; k++) await b.page.keyboard.press('+')
    await b.page.locator('.tape').waitFor()
    await b.page.evaluate(() => scrollTo(0, 0))
    await picture('dragging')
    await b.page.keyboard.press('Escape')
    await b.open('/s/camper-bench/loadings', { height: 1200 })
    await b.page.getByRole('button', { name: 'variations of compound' }).click()
    await b.page.getByRole('button', { name: /^series, 6\.60/ }).waitFor()
    await b.page.locator('.ways').getByRole('button', { name: /^back-loaded horn/ }).waitFor() // ducts come last
    await b.page.getByText('are being sized').waitFor({ state: 'hidden' })
    await b.page.locator('.ways .sketch').scrollIntoViewIfNeeded()
    await picture('variations')
    await b.open('/s/camper-bench/present', { theme: 'dark' })
    await b.page.locator('.lesson canvas').waitFor()
    for (let k = 0; k < 3; k++) await b.page.keyboard.press('Space')
    await picture('present')
  },

  // A picture that shows the page as it was would mislead: all that the manual shows is
  // made by the flow above, and looks like it. Dates, and a line that is drawn a little
  // otherwise by another build of the browser, stay far below the bound.
  async 'what the manual shows is the page'(b) {
    const named = [...readFileSync(join(docs, 'workbench.md'), 'utf8').matchAll(/img\/tour\/([\w-]+)\.png/g)].map((m) => m[1]).sort()
    const made = readdirSync(b.shots).filter((f) => /^tour-.*\.png$/.test(f) && statSync(join(b.shots, f)).mtimeMs >= begun).map((f) => f.slice(5, -4)).sort()
    b.assert.deepEqual(made, named, 'the tour makes the pictures that the manual names, and no others')
    await b.open('/')
    const at = (file) => `data:image/png;base64,${readFileSync(file).toString('base64')}`
    const stale = []
    const blank = await b.page.context().browser().newPage() // the page itself fetches nothing of this sort
    for (const name of named) {
      const kept = join(docs, 'img/tour', `${name}.png`)
      b.assert.ok(existsSync(kept), `${kept} is there`)
      const share = await blank.evaluate(apart, [at(kept), at(join(b.shots, `tour-${name}.png`))])
      console.log(`      ${name}: ${(100 * share).toFixed(2)} % of the picture differs`)
      if (share > 0.03) stale.push(name)
    }
    await blank.close()
    b.assert.deepEqual(stale, [], 'pictures of the manual are stale: run docs/tour, and look at them')
  },
}
