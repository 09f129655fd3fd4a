// The ledger and the sheet of woofers by keys: each is one stop of the tab key, arrows from cell to cell, and what has
// the focus is always in sight.
const at = (b) => b.page.evaluate(() => {
  const e = document.activeElement
  return e === document.body ? 'BODY' : (e.getAttribute('aria-label') ?? e.textContent).trim().replace(/\s+/g, ' ')
})
const volume = (of) => `candidates.${of}.enclosure.volume`

/** covered says what hides the focused element: that nothing lies over it, and that it is in the window. */
const covered = (b) => b.page.evaluate(() => {
  const e = document.activeElement
  if (!e || e === document.body || e.closest('.skip, header.bar') || e.matches('.skip')) return ''
  const who = `${e.getAttribute('aria-label') ?? e.textContent.trim()} (${e.tagName})`
  const r = [...e.getClientRects()].find((q) => q.width > 0) ?? e.getBoundingClientRect()
  if (r.top < 0 || r.bottom > innerHeight + 1) return `${who} is out of the window: ${r.top} to ${r.bottom}`
  if (r.left < 0 || r.right > innerWidth + 1) return `${who} is beside the window: ${r.left} to ${r.right}`
  for (const x of [r.left + 1, (r.left + r.right) / 2, r.right - 1])
    for (const y of [r.top + 1, r.bottom - 1]) {
      const hit = document.elementFromPoint(x, y)
      if (hit && !e.contains(hit) && !hit.contains(e) && hit.closest('header.bar, .strip.keep, .bar, th[scope=row]')) return `${who} is under ${hit.outerHTML.slice(0, 80)}`
    }
  return ''
})

export default {
  async 'adding a candidate, and sharing, are a few tabs away'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    await b.page.locator('.next button').first().waitFor()
    const seen = []
    for (let k = 0; k < 100 && !/^\+/.test(seen.at(-1) ?? ''); k++) {
      await b.page.keyboard.press('Tab')
      seen.push(await at(b))
    }
    b.assert.match(seen.at(-1), /^\+/, `no tab comes to “Add a candidate”: ${seen.join(' | ')}`)
    b.assert.ok(seen.length <= 36, `${seen.length} tabs: ${seen.join(' | ')}`)
    b.assert.ok(seen.indexOf('Share') < 16, 'and Share is in the bar')
    // the short way
    await b.page.evaluate(() => document.activeElement.blur())
    await b.page.locator('.skip').last().focus()
    await b.page.keyboard.press('Enter')
    b.assert.ok(await b.page.evaluate(() => !!document.activeElement.closest('#ledger [role=grid]')))
    await b.page.keyboard.press('Tab')
    b.assert.match(await at(b), /^\+/)
    await b.page.keyboard.press('Shift+Tab')
    b.assert.ok(await b.page.evaluate(() => !!document.activeElement.closest('#ledger [role=grid]')))
  },

  async 'the sheet of woofers is one stop too, and its forms are a tab away'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/drivers')
    await b.value('drivers.merlin-10.fs').waitFor()
    const stops = []
    await b.page.locator('.skip').first().focus()
    for (let k = 0; k < 60; k++) {
      await b.page.keyboard.press('Tab')
      if ((await at(b)) === 'BODY') break
      stops.push(await at(b))
    }
    b.assert.equal(stops.filter((s) => / of merlin-10$|merlin-10$/.test(s)).length, 1, stops.join(' | '))
    const form = stops.indexOf('paste a sheet')
    b.assert.ok(form > 0 && stops.findIndex((s) => /merlin-10/.test(s)) - form <= 2, stops.join(' | '))
    const text = b.read('camper-bench')
    const fs = b.value('drivers.merlin-10.fs')
    await fs.focus()
    await b.page.keyboard.press('ArrowDown')
    b.assert.equal(await at(b), 'Mechanical Q of merlin-10')
    await b.page.keyboard.press('PageDown')
    b.assert.equal(await at(b), 'Inductance of merlin-10')
    await b.page.keyboard.press('Control+Home')
    b.assert.match(await at(b), /^rename/)
    await b.page.waitForTimeout(900)
    b.assert.equal(b.read('camper-bench'), text, 'arrows change nothing here')
    await fs.focus()
    await b.page.keyboard.press('+')
    await b.until('plus steps it', () => /fs: 30\.6 Hz/.test(b.read('camper-bench')))
    b.assert.equal(await at(b), 'Resonance of merlin-10')
    await b.clean('the sheet by keys')
  },

  async 'arrows go from cell to cell, and every number is still stepped and typed'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    const text = b.read('camper-bench')
    await b.value(volume('one')).focus()
    await b.page.keyboard.press('ArrowRight')
    b.assert.equal(await at(b), 'net volume of pair')
    await b.page.keyboard.press('ArrowLeft')
    b.assert.equal(await at(b), 'net volume of one')
    await b.page.waitForTimeout(900)
    b.assert.equal(b.read('camper-bench'), text, 'arrows change nothing here')
    await b.page.keyboard.press('+')
    await b.page.keyboard.press('+')
    await b.page.keyboard.press('-')
    await b.until('stepped', async () => /volume: 29 L/.test(b.read('camper-bench')) && (await b.page.locator('.moving').count()) === 0)
    await b.page.keyboard.press('Enter')
    for (let k = 0; k < 3; k++) await b.page.keyboard.press('ArrowUp')
    await b.page.keyboard.press('Shift+ArrowDown')
    b.assert.equal(await b.page.locator('input.typing').inputValue(), '31.9 L')
    await b.until('it follows while it is typed', async () => (await b.page.locator('.bar [role=status]').innerText()) === 'not saved yet')
    await b.page.keyboard.press('Enter')
    await b.until('typed', () => /volume: 31\.9 L/.test(b.read('camper-bench')))
    await b.until('the focus is back', async () => (await at(b)) === 'net volume of one')
    // a word: enter opens its list, in which arrows choose
    await b.value('candidates.one.enclosure.kind').focus()
    await b.page.keyboard.press('ArrowDown')
    b.assert.equal(await b.page.getByRole('listbox').count(), 0)
    await b.value('candidates.one.enclosure.kind').focus()
    await b.page.keyboard.press('Enter')
    await b.page.getByRole('listbox').waitFor()
    await b.page.keyboard.press('ArrowDown')
    await b.page.getByRole('listbox').waitFor()
    await b.page.keyboard.press('Escape')
  },

  async 'what has the focus is in sight, wherever keys lead'(b) {
    b.example('camper-bench')
    for (const [width, height] of [[1440, 900], [1024, 768], [768, 1024]]) {
      await b.open('/s/camper-bench/loadings', { width, height })
      await b.page.locator('.next button').first().waitFor()
      const hidden = new Set()
      const go = async (keys) => {
        for (const k of keys) {
          await b.page.keyboard.press(k)
          await b.page.evaluate(() => new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(r))))
          const over = await covered(b)
          if (over) hidden.add(`${k}: ${over}`)
        }
      }
      await b.value(volume('one')).focus()
      const many = (k, n) => Array.from({ length: n }, () => k)
      await go(['Control+Home', ...many('ArrowDown', 50), 'End', ...many('ArrowUp', 50), ...many('PageDown', 9), 'Home', ...many('ArrowRight', 8), ...many('PageUp', 9), 'Control+End', 'Control+Home', ...many('Tab', 12), ...many('Shift+Tab', 40)])
      b.assert.deepEqual([...hidden], [], `at ${width} × ${height}`)
      await b.value(volume('band')).or(b.value('candidates.band.enclosure.kind')).first().focus()
      await b.page.keyboard.press('ArrowDown')
      await b.page.screenshot({ path: `${b.shots}/grid-${width}.png` })
    }
  },
}
