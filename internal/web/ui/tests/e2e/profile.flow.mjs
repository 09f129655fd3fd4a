// The profile of a duct: its points are handles on the section, moved by hand, by
// finger and by keys, live as all numbers are, and every change can be undone.
const study = `study: Ducts
amplifier: {rated: {4 ohm: 300 W}}
drivers: {wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm}}
candidates:
  one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 9 L}}
  line: {group: {driver: wren-6}, enclosure: {kind: transmission_line, duct: {length: 1.8 m, area: 200 cm2}, driver_at: 0.6 m}} # straight
  tapped: {group: {driver: wren-6}, enclosure: {kind: tapped_waveguide, duct: {profile: [{at: 0 in, area: 20 in2}, {at: 40 in, area: 30 in2}, {at: 85 in, area: 60 in2}], width: 10 in}, front_at: 3 in, rear_at: 75 in}}
  back:
    group: {driver: wren-6}
    enclosure:
      kind: back_loaded_horn
      duct:
        profile:
          - {at: 0 m, area: 60 cm2}
          - {at: 0.5 m, area: 100 cm2} # the throat's end
          - {at: 1.8 m, area: 900 cm2}
`
async function opened(b, of, options) {
  b.write('ducts', study)
  await b.open('/s/ducts/loadings', options)
  await b.page.getByRole('button', { name: `profile of ${of}`, exact: true }).click()
  await b.page.getByRole('region', { name: `Profile of ${of}` }).waitFor()
}
const handle = (b, n, of) => b.page.getByRole('slider', { name: `point ${n} of ${of}`, exact: true })
const points = (text, of) => [...text.slice(text.indexOf(`  ${of}:`)).split(/\n {2}\w/)[0].matchAll(/\{at: ([\d.]+) \w+, area: ([\d.]+) \w+\}/g)].map((m) => [Number(m[1]), Number(m[2])])
const middle = async (locator) => {
  const r = await locator.boundingBox()
  return [r.x + r.width / 2, r.y + r.height / 2, r]
}

export default {
  async 'a point is dragged: it stays under the hand, all follows, one release is one saved change'(b) {
    for (const [of, k] of [['back', 2], ['tapped', 2]]) {
      await opened(b, of)
      const point = handle(b, k, of)
      await point.scrollIntoViewIfNeeded()
      const [x, y, box] = await middle(point)
      b.assert.ok(box.width >= 24 && box.height >= 24, `${box.width} × ${box.height} px for a finger`)
      const before = b.read('ducts')
      const [, was] = points(before, of)
      const follows = {
        'the drawing in the panel': () => b.page.locator('.profile .sheet .svg').innerHTML(),
        'the level at the hairline': () => b.page.locator('.ledger tr.row', { hasText: 'Level at the hairline' }).innerText(),
      }
      const shown = Object.fromEntries(await Promise.all(Object.entries(follows).map(async ([what, now]) => [what, await now()])))
      const heads = () => b.page.locator('.ledger .drawings').innerHTML()
      const head = await heads()
      await b.page.mouse.move(x, y)
      await b.page.mouse.down()
      await b.page.mouse.move(x + 90, y - 20, { steps: 10 })
      for (const [what, now] of Object.entries(follows)) await b.until(`${what} follows`, async () => (await now()) !== shown[what])
      b.assert.equal(await heads(), head, 'the heads stay as they are, or they would push the drawing from under the hand')
      b.assert.equal(b.read('ducts'), before, 'nothing is saved while it moves')
      const [ax, ay] = await middle(point)
      b.assert.ok(Math.abs(ax - x - 90) < 3 && Math.abs(ay - y + 20) < 3, `${of}: off the hand by ${ax - x - 90}, ${ay - y + 20}`)
      const says = await point.getAttribute('aria-valuetext')
      await b.page.mouse.up()
      await b.until('saved', () => b.read('ducts') !== before)
      await b.until('the heads follow the release', async () => (await heads()) !== head)
      const now = points(b.read('ducts'), of)[1]
      b.assert.ok(now[0] > was[0] && now[1] > was[1], `${was} to ${now}`)
      b.assert.equal(says.replace(/[^\d.,]/g, '').replace('²', ''), now.join(','))
      b.assert.match(b.read('ducts'), /# the throat's end/)
      await b.page.getByRole('button', { name: 'Undo' }).click()
      await b.until('undone', () => b.read('ducts') === before)
      await b.until('and shown so', async () => Math.abs((await middle(point))[0] - x) < 1.5)
    }
  },

  async 'esc in a drag goes back, a neighbour is not passed, and what cannot stand is told'(b) {
    await opened(b, 'back')
    const point = handle(b, 2, 'back')
    await point.scrollIntoViewIfNeeded()
    const before = b.read('ducts')
    const [x, y] = await middle(point)
    await b.page.mouse.move(x, y)
    await b.page.mouse.down()
    await b.page.mouse.move(x + 60, y, { steps: 5 })
    await b.page.keyboard.press('Escape')
    await b.page.mouse.up()
    await b.page.waitForTimeout(900)
    b.assert.equal(b.read('ducts'), before)
    await b.page.mouse.move(x, y)
    await b.page.mouse.down()
    await b.page.mouse.move(x - 2000, y, { steps: 5 })
    await b.page.mouse.up()
    await b.until('it stops there', () => points(b.read('ducts'), 'back')[1][0] === 0.01)
    await b.page.getByRole('button', { name: 'Undo' }).click()
    await b.until('undone', () => b.read('ducts') === before)
    // a driver beyond the end of the line
    await b.page.getByRole('button', { name: 'profile of tapped' }).click()
    const end = handle(b, 3, 'tapped')
    await end.focus()
    for (let k = 0; k < 15; k++) await b.page.keyboard.press('Alt+ArrowLeft')
    await b.page.locator('.profile .fault').waitFor()
    b.assert.equal(b.read('ducts'), before)
    await b.until('it is back', async () => /^85\s/.test(await end.getAttribute('aria-valuetext')))
  },

  async 'by keys alone a point is reached, stepped, typed, added and taken out'(b) {
    await opened(b, 'back')
    const page = b.page
    const file = () => points(b.read('ducts'), 'back')
    await handle(b, 1, 'back').focus()
    await page.keyboard.press('PageDown')
    b.assert.equal(await page.evaluate(() => document.activeElement.getAttribute('aria-label')), 'point 2 of back')
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('ArrowUp')
    await b.until('one change', () => file()[1].join() === '0.52,101')
    await page.keyboard.press('Shift+ArrowDown')
    await b.until('a tenth', () => file()[1].join() === '0.52,100.9')
    await page.keyboard.press('Control+z')
    await b.until('undone', () => file()[1].join() === '0.52,101')
    await page.keyboard.press('Enter')
    b.assert.equal(await page.evaluate(() => document.activeElement.getAttribute('aria-label')), 'place of point 2 of back')
    await page.keyboard.press('ArrowRight')
    b.assert.equal(await page.evaluate(() => document.activeElement.getAttribute('aria-label')), 'area of point 2 of back')
    await page.keyboard.type('0.02 m2')
    await page.keyboard.press('Enter')
    await b.until('typed', () => /area: 0\.02 m2\} # the throat's end/.test(b.read('ducts')))
    const add = page.getByRole('button', { name: 'add one before point 3 of back' })
    await add.focus()
    await page.keyboard.press('Enter')
    await b.until('added', () => /# the throat's end\n {10}- \{at: 1\.16 m, area: [\d.]+ cm2\}\n {10}- \{at: 1\.8 m/.test(b.read('ducts')))
    await handle(b, 3, 'back').focus()
    await page.keyboard.press('Delete')
    await b.until('taken out', () => !/1\.16 m/.test(b.read('ducts')))
  },

  async 'a duct worded by its ends is drawn through points'(b) {
    await opened(b, 'line')
    await b.page.getByRole('button', { name: 'Draw it through points' }).click()
    await b.until('it is', () => /line: .*duct: \{profile: \[\{at: 0 m, area: 200 cm2\}, \{at: 1\.8 m, area: 200 cm2\}\]\}, driver_at: 0\.6 m\}\} # straight/.test(b.read('ducts')))
    await handle(b, 2, 'line').waitFor()
    await b.page.getByRole('button', { name: 'add one before point 2 of line' }).click()
    await handle(b, 3, 'line').waitFor()
    b.assert.match(b.read('ducts'), /\{at: 0\.9 m, area: 200 cm2\}/)
    b.assert.equal(await b.page.getByRole('button', { name: 'profile of one' }).count(), 0, 'a box has no profile')
    b.assert.equal(await b.page.locator('.ledger tr.row th', { hasText: /profile/i }).count(), 0, 'its points have no rows of their own')
  },

  async 'it holds at every width, in both themes, and by finger'(b) {
    for (const [width, height, theme] of [[1440, 900, 'light'], [1024, 768, 'dark'], [768, 1024, 'dark'], [768, 1024, 'light']]) {
      await opened(b, 'back', { width, height, theme })
      await handle(b, 3, 'back').focus()
      await b.page.waitForTimeout(200)
      await b.page.screenshot({ path: `${b.shots}/profile-${width}-${theme}.png` })
      await b.clean(`profile-${width}-${theme}`)
      const [x, y] = await middle(handle(b, 2, 'back'))
      await b.page.evaluate(([x, y]) => {
        const e = document.elementFromPoint(x, y)
        const send = (type, dx, dy) => e.dispatchEvent(new PointerEvent(type, { bubbles: true, pointerId: 1, pointerType: 'touch', isPrimary: true, button: type === 'pointermove' ? -1 : 0, clientX: x + dx, clientY: y + dy }))
        e.setPointerCapture = () => undefined
        send('pointerdown', 0, 0)
        for (let k = 1; k < 6; k++) send('pointermove', 6 * k, -3 * k)
        send('pointerup', 30, -15)
      }, [x, y])
      await b.until('it moved', () => points(b.read('ducts'), 'back')[1][0] > 0.5)
      b.assert.equal(await handle(b, 2, 'back').evaluate((e) => getComputedStyle(e).touchAction), 'none')
    }
  },
}
