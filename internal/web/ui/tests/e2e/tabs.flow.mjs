// Many pages of one browser: all open, all follow the file, one after another may close.
import assert from 'node:assert/strict'
import { renameSync, writeFileSync } from 'node:fs'
import { patience, saved, until } from './harness.mjs'

export default async function flow({ open, text, file, base }) {
  const outside = (was, is) => {
    const changed = text('camper-bench').replace(was, is)
    assert.notEqual(changed, text('camper-bench'), `${was} stands in the file`)
    writeFileSync(`${file('camper-bench')}.tmp`, changed)
    renameSync(`${file('camper-bench')}.tmp`, file('camper-bench'))
  }
  const first = await open('/s/camper-bench/brief')
  const tabs = [first]
  for (let k = 1; k < 8; k++) {
    const page = await first.context().newPage()
    page.setDefaultTimeout(patience)
    await page.goto(`${base}/s/camper-bench/brief`)
    tabs.push(page)
  }
  const width = (page) => page.getByRole('spinbutton', { name: 'width of the space' })
  for (const page of tabs) await width(page).waitFor()
  const all = (what, want) => until(what, async () => (await Promise.all(tabs.map((p) => width(p).innerText()))).every((t) => t === `${want}\u2009mm`))

  // an edit in any of them is saved, and shows in all
  for (const [k, to] of [[0, 710], [7, 720]]) {
    await width(tabs[k]).press('Enter')
    await tabs[k].keyboard.type(`${to} mm`)
    await tabs[k].keyboard.press('Enter')
    await until('it is saved', () => text('camper-bench').includes(`width: ${to} mm`))
    await saved(tabs[k])
    await all('every page shows it', to)
  }
  // so does what another program does, also when the page that read the stream is closed
  outside('width: 720 mm', 'width: 725 mm')
  await all('every page shows the change on disk', 725)
  // and a page whose program came after the change, though its text came before it
  const late = await first.context().newPage()
  late.setDefaultTimeout(patience)
  let come
  const held = new Promise((done) => { come = done })
  await late.route('**/assets/*.js', async (r) => { await held; await r.continue() })
  const there = late.waitForResponse((r) => r.url().endsWith('/brief'))
  const going = late.goto(`${base}/s/camper-bench/brief`)
  await (await there).finished()
  outside('width: 725 mm', 'width: 730 mm')
  await all('the others show it', 730)
  come()
  await going
  tabs.push(late)
  await all('and so does the late one', 730)
  await tabs.shift().close()
  outside('width: 730 mm', 'width: 740 mm')
  await all('every page that is left shows the next', 740)
  await tabs.shift().close()
  await tabs.shift().close()
  outside('width: 740 mm', 'width: 750 mm')
  await all('and the next', 750)
}
