// What must be said is in sight wherever the person works, and the bar tells what is.
import { renameSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

const tuning = 'candidates.tuned.enclosure.tuning'
const away = [/ERR_CONNECTION/, /Failed to load resource/, /ERR_INCOMPLETE/]

async function down(b, options) {
  b.example('camper-bench')
  await b.open('/s/camper-bench/loadings', options)
  await b.value(tuning).waitFor()
  await b.value(tuning).evaluate((e) => scrollTo(0, e.getBoundingClientRect().top + scrollY - innerHeight / 2))
  await b.page.waitForTimeout(300)
}
const band = (b) => b.page.getByRole('group', { name: 'Said further up' })
const status = (b) => b.page.locator('.bar [role=status]').innerText()
/** put writes a file as other programs do: a new one in the old one’s place. */
function put(b, text) {
  const file = join(b.folder, 'camper-bench.yaml')
  writeFileSync(`${file}.tmp`, text)
  renameSync(`${file}.tmp`, file)
}
/** seen is what stands where a text of the band is, so that nothing lies over it. */
async function seen(b, text) {
  const line = band(b).getByText(text)
  await line.waitFor()
  await b.page.waitForTimeout(150)
  const box = await line.boundingBox()
  b.assert.ok(box.y >= 0 && box.y + box.height <= b.page.viewportSize().height / 4, `“${text}” stands at ${box.y} px`)
  const over = await line.evaluate((e) => {
    const r = e.getBoundingClientRect()
    const to = document.createRange()
    to.selectNodeContents(e)
    const words = to.getClientRects()[0]
    const hit = document.elementFromPoint(words.left + 4, r.top + r.height / 2)
    return e.contains(hit) ? '' : hit?.outerHTML.slice(0, 120)
  })
  b.assert.equal(over, '', 'something lies over it')
}
async function leads(b, button, to) {
  await band(b).getByRole('button', { name: button }).click()
  await b.until('the whole of it is in sight', async () => {
    const box = await to.boundingBox()
    return box && box.y >= 48 && box.y < b.page.viewportSize().height - 40
  })
  await b.until('and the band is not needed', async () => (await band(b).count()) === 0)
}

export default {
  async 'a file that is broken, gone or not served is in sight far down the page'(b) {
    for (const options of [{}, { width: 768, height: 1024 }]) {
      await down(b, options)
      const good = b.read('camper-bench')
      put(b, `drivers: [\n${good}`)
      await seen(b, 'The file has 1 to mend')
      b.assert.equal(await status(b), '1 to mend')
      await b.page.screenshot({ path: join(b.shots, `sight-broken-${options.width ?? 1440}.png`) })
      await leads(b, 'show', b.page.getByRole('heading', { name: '1 to mend' }))
      put(b, good)
      await b.until('it is mended', async () => /^saved/.test(await status(b)))
    }

    await down(b)
    rmSync(join(b.folder, 'camper-bench.yaml'))
    await seen(b, 'gone from the folder')
    await leads(b, 'write it anew', b.page.getByRole('button', { name: 'Write it anew', exact: true }))
    await b.page.getByRole('button', { name: 'Write it anew', exact: true }).click()
    await b.until('it is there again', async () => /^saved/.test(await status(b)))

    await down(b)
    b.expected.push(...away)
    const start = await b.restart('SIGKILL')
    await seen(b, 'The server does not answer')
    await start()
    await b.until('it is back', async () => (await band(b).count()) === 0)
  },

  async 'two edits that meet far down the page are in sight, with both versions'(b) {
    await down(b)
    b.expected.push(...away)
    const value = b.value(tuning)
    await value.press('Enter')
    put(b, b.read('camper-bench').replace('tuning: 29 Hz', 'tuning: 33 Hz'))
    await b.page.waitForTimeout(1200)
    await b.page.keyboard.press('Control+A')
    await b.page.keyboard.type('35 Hz')
    await b.page.keyboard.press('Enter')
    await seen(b, 'Two edits meet')
    await seen(b, '35 Hz')
    await seen(b, '33 Hz')
    b.assert.equal(await status(b), 'not saved')
    await b.page.screenshot({ path: join(b.shots, 'sight-clash.png') })
    await leads(b, 'choose', b.page.getByRole('heading', { name: 'Two edits meet' }))
    b.assert.equal(await b.page.getByText('by another program').count(), 0, 'who it was is not known')
    await b.page.getByRole('button', { name: 'Keep mine' }).click()
    await b.until('mine is written', () => /tuning: 35 Hz/.test(b.read('camper-bench')))
    await b.until('and said to be', async () => /^saved/.test(await status(b)))
  },

  async 'what was not saved and is saved later is no longer said to be not saved'(b) {
    await down(b)
    b.expected.push(...away)
    await b.page.route('**/edit', (r) => r.abort())
    const type = async (path, what) => {
      await b.value(path).press('Enter')
      await b.page.keyboard.press('Control+A')
      await b.page.keyboard.type(what)
      await b.page.keyboard.press('Enter')
    }
    await type(tuning, '32 Hz')
    await seen(b, 'Not saved: ')
    b.assert.equal(await status(b), 'not saved')
    await b.page.keyboard.press('Escape') // what was typed is still there, and would be saved with the next
    await b.page.unroute('**/edit')
    // another value: the sentence stays to be read, the bar tells what is
    await type('candidates.one.enclosure.volume', '29 L')
    await b.until('it is saved', async () => /volume: 29 L/.test(b.read('camper-bench')) && /^saved/.test(await status(b)))
    await seen(b, 'Not saved: ')
    // the same again
    await type(tuning, '40 Hz')
    await b.until('it is saved', () => /tuning: 40 Hz/.test(b.read('camper-bench')))
    await b.until('nothing is not saved', async () => (await band(b).count()) === 0 && /^saved/.test(await status(b)))
    b.assert.equal(await b.page.getByText('Not saved').count(), 0)
  },

  async 'a number that is changed while the file has a fault shows what the file says'(b) {
    await down(b)
    put(b, b.read('camper-bench').replace(/qms: [\d.]+/, 'qms: 4.9 bananas'))
    await seen(b, 'The file has 1 to mend')
    const value = b.value(tuning)
    const tells = async (hz) => {
      await b.until(`the file has ${hz}`, () => b.read('camper-bench').includes(`tuning: ${hz} Hz`))
      await b.until('and so has the page', async () => Number.parseFloat(await value.innerText()) === hz)
      b.assert.equal(Number(await value.getAttribute('aria-valuenow')), hz)
      b.assert.match(await value.getAttribute('aria-valuetext'), new RegExp(`^${hz}(\\.0)?\\sHz$`))
    }
    await value.focus()
    await b.page.keyboard.press('+')
    await tells(30)
    const box = await value.boundingBox()
    await b.page.mouse.move(box.x + 5, box.y + 8)
    await b.page.mouse.down()
    for (let k = 1; k <= 5; k++) await b.page.mouse.move(box.x + 5 + 4 * k, box.y + 8)
    await b.page.mouse.up()
    await tells(35)
    await value.press('Enter')
    await b.page.keyboard.press('Control+A')
    await b.page.keyboard.type('50')
    await b.page.keyboard.press('Enter')
    await tells(50)
    await leads(b, 'show', b.page.getByRole('heading', { name: '1 to mend' }))
    b.assert.equal(await b.page.getByRole('button', { name: /^take back/ }).count(), 0, 'the last edit is not the fault')
  },

  async 'why a change was refused, or a value that was half typed is gone, is in sight'(b) {
    b.expected.push(/status of 422/)
    for (const options of [{}, { width: 768, height: 1024 }]) {
      await down(b, options)
      await b.page.getByRole('button', { name: 'more for tuned' }).click()
      await b.page.getByRole('list', { name: 'For tuned' }).getByRole('button', { name: /^rename/ }).click()
      await b.page.keyboard.press('Control+A')
      await b.page.keyboard.type('pair')
      await b.page.keyboard.press('Enter')
      await seen(b, 'take another name')
      b.assert.equal(await b.page.getByText(/\d+:\d+: /).count(), 0, 'a place in the text tells nothing here')
      await band(b).getByRole('button', { name: 'close' }).click()
      b.assert.equal(await b.page.getByText('take another name').count(), 0)
    }
    await b.open('/s/camper-bench/brief')
    const width = b.page.getByRole('spinbutton', { name: 'width of the space' })
    await width.press('Enter')
    await b.page.keyboard.press('Control+A')
    await b.page.keyboard.type('36 Q')
    await b.page.getByRole('link', { name: 'Drivers' }).click()
    await b.page.getByRole('alert').filter({ hasText: 'Not saved: width of the space: 36 Q' }).waitFor()
    b.assert.match(b.read('camper-bench'), /width: 700 mm/)
  },

  async 'the strip that stays covers what goes below it'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings', { width: 768, height: 1024 })
    await b.value(tuning).waitFor()
    const through = []
    let stayed = 0
    for (let y = 600; y <= 1400; y += 25) {
      await b.page.evaluate((to) => scrollTo(0, to), y)
      await b.page.waitForTimeout(60)
      const found = await b.page.evaluate(() => {
        const keep = document.querySelector('.strip.keep')
        if (!keep) return undefined
        const r = keep.getBoundingClientRect()
        const out = []
        for (let x = r.left + 10; x < r.right; x += 40) for (let y = r.top + 12; y < r.bottom; y += 16) {
          const hit = document.elementFromPoint(x, y)
          if (!keep.contains(hit) && hit?.closest('.strip')) out.push(hit.closest('.strip').getAttribute('aria-label'))
        }
        return out
      })
      if (found) stayed++
      through.push(...(found ?? []))
    }
    b.assert.ok(stayed > 5, 'a strip stays')
    b.assert.deepEqual([...new Set(through)], [])
  },

  async 'the strip that stays tells where the hairline is, which crosses no words'(b) {
    for (const options of [{}, { width: 768, height: 1024 }]) {
      await down(b, options)
      const keep = b.page.locator('.strip.keep')
      await keep.waitFor()
      const reader = b.page.getByRole('slider', { name: /Hairline/ })
      const seen = () =>
        keep.evaluate((e) => {
          const box = (of) => of.getBoundingClientRect()
          const line = box(e.querySelector('.hairline'))
          const at = e.querySelector('.at')
          const words = [...e.querySelectorAll('header :is(h2, p, button)')].filter((w) => box(w).width > 0)
          const crossed = words.filter((w) => box(w).left < line.right && box(w).right > line.left && box(w).top < line.bottom && box(w).bottom > line.top)
          const plot = box(e.querySelector('canvas'))
          const over = box(at).right > plot.left && box(at).left < plot.right && box(at).bottom > plot.top && box(at).top < plot.bottom
          const hit = document.elementFromPoint((box(at).left + box(at).right) / 2, (box(at).top + box(at).bottom) / 2)
          return { text: at.textContent, crossed: crossed.map((w) => w.textContent), over, open: at.contains(hit), reach: [line.top - plot.top, line.bottom - plot.bottom], inside: line.left >= plot.left - 1 && line.right <= plot.right + 1 }
        })
      // at the low end it stands among the words of a head that is above the curves
      for (const key of ['Home', ...Array(9).fill('Alt+ArrowRight'), 'End']) {
        await reader.evaluate((e, press) => e.dispatchEvent(new KeyboardEvent('keydown', { key: press.replace('Alt+', ''), altKey: press.startsWith('Alt'), bubbles: true, cancelable: true })), key)
        const told = await reader.getAttribute('aria-valuetext')
        await b.until('the strip tells it', async () => (await seen()).text === `at ${told}`)
        const { crossed, over, open, reach, inside } = await seen()
        b.assert.deepEqual(crossed, [], `the hairline at ${told} crosses words`)
        b.assert.ok(!over && open && inside, `at ${told}: over the curves ${over}, in sight ${open}, inside ${inside}`)
        b.assert.ok(Math.abs(reach[0]) < 1 && Math.abs(reach[1]) < 1, `the hairline ends ${reach} px off the curves`)
      }
      await b.page.screenshot({ path: join(b.shots, `sight-hairline-${options.width ?? 1440}.png`) })
      await b.page.evaluate(() => scrollTo(0, 0))
      await b.until('at the top of the page it stands at the hairline alone', async () => (await b.page.locator('.strip .at').count()) === 0)
    }
  },

  async 'what has the focus is whole: its ring, and under the bar'(b) {
    await down(b)
    const first = b.value('candidates.one.enclosure.volume')
    await first.focus()
    await b.page.keyboard.press('Shift') // by keys
    const over = await first.evaluate((e) => {
      const r = e.getBoundingClientRect()
      return document.elementFromPoint(r.left - 3, r.top + r.height / 2)?.tagName
    })
    b.assert.notEqual(over, 'TH', 'the row’s name lies over the ring')
    await b.page.screenshot({ path: join(b.shots, 'sight-ring.png') })
    // far to the side, it comes out from under the rows’ names
    await b.page.setViewportSize({ width: 768, height: 1024 })
    await b.page.getByRole('spinbutton', { name: /of band$/ }).last().focus()
    const under = []
    for (let k = 0; k < 60; k++) {
      await b.page.keyboard.press('Shift+Tab')
      const gap = await b.page.evaluate(() => {
        const e = document.activeElement
        const name = e.closest('tr.row')?.querySelector('th')
        return name ? e.getBoundingClientRect().left - name.getBoundingClientRect().right : 0
      })
      if (gap < -0.5) under.push(`${gap} px`)
    }
    b.assert.deepEqual(under, [], 'cells that have the focus under the names')
    for (const width of [1440, 768]) {
      await b.open('/s/camper-bench/brief', { width, height: 768 })
      await b.page.getByRole('spinbutton').first().waitFor()
      await b.page.locator('main button, main [tabindex="0"]').last().focus()
      const hidden = []
      for (let k = 0; k < 60; k++) {
        await b.page.keyboard.press('Shift+Tab')
        const under = await b.page.evaluate(() => {
          const e = document.activeElement
          const bar = document.querySelector('header.bar')
          if (!e || e === document.body || bar?.contains(e) || e.matches('.skip')) return ''
          const gap = e.getBoundingClientRect().top - (bar?.getBoundingClientRect().bottom ?? 0)
          return gap < 0 ? `${e.getAttribute('aria-label') ?? e.textContent}: ${gap} px` : ''
        })
        if (under) hidden.push(under)
      }
      b.assert.deepEqual(hidden, [], `at ${width}`)
    }
  },
}
