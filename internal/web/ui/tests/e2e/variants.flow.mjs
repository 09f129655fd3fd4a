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

  async 'a menu goes with what it belongs to'(b) {
    b.example('mill-loft')
    await b.open('/s/mill-loft/loadings')
    await b.page.getByRole('region', { name: 'Ledger' }).waitFor()
    const kind = b.value('candidates.two-rooms.enclosure.kind')
    await kind.click()
    const menu = b.page.getByRole('listbox')
    await menu.waitFor()
    const apart = async () => {
      const [at, below] = [await kind.boundingBox(), await menu.boundingBox()]
      return Math.min(Math.abs(below.y - at.y - at.height), Math.abs(at.y - below.y - below.height))
    }
    const was = (await kind.boundingBox()).y
    await b.page.evaluate(() => scrollBy(0, 60))
    await b.until('it has scrolled', async () => Math.abs((await kind.boundingBox()).y - was) > 20)
    await b.until('the menu went along', async () => (await menu.count()) === 1 && (await apart()) < 8)
  },

  async 'every kind that the ledger offers is taken, and is a whole box'(b) {
    const example = 'mill-loft'
    b.example(example)
    await b.open(`/s/${example}/loadings`)
    await b.page.getByRole('region', { name: 'Ledger' }).waitFor()
    const text = b.read(example)
    const names = await b.page.locator('.ledger thead [data-candidate]').evaluateAll((all) => all.map((e) => e.dataset.candidate))
    for (const name of names) {
      const kind = b.value(`candidates.${name}.enclosure.kind`)
      const options = b.page.getByRole('listbox').getByRole('option')
      const offered = async () => {
        await kind.focus()
        await b.until('they have come', async () => {
          if ((await options.count()) === 0) await b.page.keyboard.press('Enter')
          return (await options.count()) > 1 && (await b.page.getByRole('option', { disabled: true }).count()) === 0
        })
      }
      await offered()
      const words = (await options.allInnerTexts()).map((w) => w.split('\n')[0]) // without how each was sized
      const own = await b.page.locator('[role=listbox] [role=option][aria-selected=true]').allInnerTexts()
      b.assert.equal(own.length, 1, `${name} is one of ${words}`)
      for (const kind of ['infinite baffle', 'sealed', 'vented', 'passive radiator', 'bandpass', 'parallel bandpass', 'series bandpass', 'network', 'transmission line', 'tapped waveguide', 'front-loaded horn', 'back-loaded horn'])
        b.assert.ok(words.some((w) => w.startsWith(kind)), `${name} can become a ${kind}: ${words.join(' | ')}`)
      await b.page.keyboard.press('Escape')
      for (const w of words.filter((w) => w !== own[0])) {
        await b.until(`${w} is chosen`, async () => {
          await offered()
          return options.filter({ hasText: w }).first().click({ timeout: 500 }).then(() => true, () => false)
        })
        await b.until(`${name}: ${w}`, async () => b.read(example) !== text)
        await b.until('and it is told', async () => w.startsWith(await kind.innerText()))
        b.assert.equal(await b.page.locator('.ledger .fault').count(), 0)
        await b.page.getByRole('button', { name: 'Undo', exact: true }).click()
        await b.until('as it was', async () => b.read(example) === text && own[0].startsWith(await kind.innerText()))
      }
    }
  },

  async 'a line is begun from a closed box by its kind, told how it was sized, and turned by hand and keys'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    const at = 'candidates.one.enclosure'
    const kind = b.value(`${at}.kind`)
    await kind.focus()
    await b.page.keyboard.press('Enter')
    const line = b.page.getByRole('option', { name: /^transmission line, with a duct of/ })
    await b.until('it has been sized', async () => {
      if ((await b.page.getByRole('listbox').count()) === 0) await b.page.keyboard.press('Enter')
      return (await line.count()) === 1
    })
    b.assert.match(await line.innerText(), /its quarter wave at nine tenths of the F3 asked for/)
    await b.page.keyboard.press('End') // with others still to come, as may be
    const picked = await b.page.locator('[role=option].picked').innerText()
    await b.until('all have come', async () => (await b.page.getByRole('option', { disabled: true }).count()) === 0)
    b.assert.equal((await b.page.locator('[role=option].picked').innerText()).split('\n')[0], picked.split('\n')[0], 'what comes does not move what is picked')
    const menu = async () => {
      const box = await b.page.getByRole('listbox').boundingBox()
      b.assert.ok(box.y >= 0 && box.y + box.height <= 900, `the menu reaches from ${box.y} for ${box.height} px`)
      return box
    }
    const inView = async (option) => {
      const box = await menu()
      const at = await option.boundingBox()
      return at.y >= box.y - 1 && at.y + at.height <= box.y + box.height + 1
    }
    await b.until('what is picked is in view', () => inView(b.page.locator('[role=option].picked')))
    await b.page.keyboard.press('End')
    await b.until('the last is in view', () => inView(b.page.getByRole('option').last()))
    await b.page.screenshot({ path: `${b.shots}/kinds-1440-light.png` })
    await line.click()
    await b.until('it is one', () => /one:[\s\S]*?kind: transmission_line, duct: \{tuning: 32\.4 Hz/.test(b.read('camper-bench')))
    await b.until('and shown', async () => (await kind.innerText()) === 'transmission line')
    const tuning = b.value(`${at}.duct.tuning`)
    await tuning.scrollIntoViewIfNeeded()
    await tuning.focus()
    await b.page.keyboard.press('+')
    await b.until('a step of the tuning', () => /duct: \{tuning: 32\.5 Hz/.test(b.read('camper-bench')))
    const area = b.value(`${at}.duct.area`)
    const box = await area.boundingBox()
    await b.page.mouse.move(box.x + 8, box.y + box.height / 2)
    await b.page.mouse.down()
    await b.page.mouse.move(box.x + 48, box.y + box.height / 2, { steps: 6 })
    await b.page.mouse.up()
    await b.until('its area is dragged', () => !/area: 345 cm/.test(b.read('camper-bench')))
    const packing = b.value(`${at}.fill.packing`)
    await packing.focus()
    await b.page.keyboard.press('Enter')
    await b.page.keyboard.type('8 kg/m3')
    await b.page.keyboard.press('Enter')
    await b.until('its packing is typed', () => /packing: 8 kg\/m3/.test(b.read('camper-bench')))
    b.assert.equal(await b.page.locator('.ledger .fault').count(), 0)
  },

  async 'every kind is begun from a driver in the variations, at every width and in both themes'(b) {
    const all = ['infinite_baffle', 'sealed', 'passive_radiator', 'bandpass', 'bandpass_parallel', 'bandpass_series', 'transmission_line', 'tapped_waveguide', 'front_loaded_horn', 'back_loaded_horn', 'network']
    const study = `study: Begun
amplifier: {rated: {4 ohm: 100 W, 8 ohm: 55 W}}
space: {width: 1600 mm, height: 900 mm, depth: 500 mm, panel: 18 mm}
drivers: {knot-8: {fs: 44 Hz, qms: 4.8, qes: 0.32, vas: 32 L, sd: 214 cm2, re: 6.1 ohm, le: 0.5 mH, xmax: 6 mm, mounting_depth: 92 mm, cutout: 188 mm, flange: 216 mm, magnet_diameter: 130 mm}}
candidates:
  one: {group: {driver: knot-8}, enclosure: {kind: vented, volume: 30 L, tuning: 44 Hz, port: {diameter: 90 mm}}}
`
    b.write('begun', study)
    await b.open('/s/begun/loadings')
    await b.page.getByRole('button', { name: 'variations of one' }).click()
    for (const kind of all) {
      const words = { bandpass_parallel: 'parallel bandpass', bandpass_series: 'series bandpass' }[kind] ?? kind.replace('_loaded_', '-loaded ').replaceAll('_', ' ')
      const way = b.page.locator('.ways section', { hasText: 'Box' }).getByRole('button', { name: new RegExp(`^${words}`) })
      await way.waitFor()
      await way.click()
      await b.until(`it is a ${kind}`, () => new RegExp(`kind: ${kind}\\b`).test(b.read('begun')))
      await b.until('and shown', async () => (await b.value('candidates.one.enclosure.kind').innerText()) === words)
      await b.look(`begun-${kind}`)
      b.assert.equal(await b.page.locator('.ledger .fault, .error').count(), 0, kind)
      await b.page.getByRole('button', { name: 'Undo', exact: true }).click()
      await b.until('as it was', () => b.read('begun') === study)
    }
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
