// What the hands do, and what the page says to it: units, names, ranges, keys, the
// focus, and a server that is away.
const one = 'candidates.one.enclosure.volume'
const names = ['one', 'pair', 'compound', 'tuned', 'four', 'band']
const away = [/ERR_CONNECTION/, /Failed to load resource/, /ERR_INCOMPLETE/]

async function loadings(b, options) {
  b.example('camper-bench')
  await b.open('/s/camper-bench/loadings', options)
  await b.value(one).waitFor()
}
const focused = (b) => b.page.evaluate(() => {
  const e = document.activeElement
  return e === document.body ? 'BODY' : e.getAttribute('aria-label') || e.textContent.trim().replace(/\s+/g, ' ') || e.id
})
const columns = (b) => b.page.locator('.ledger thead [data-candidate]').evaluateAll((all) => all.map((e) => e.dataset.candidate))
async function more(b, name, entry) {
  await b.page.getByRole('button', { name: `more for ${name}` }).click()
  await b.page.getByRole('list', { name: `For ${name}` }).getByRole('button', { name: entry, exact: true }).click()
}

export default {
  async 'a value written in another unit is shown, stepped, typed and read aloud in the row’s'(b) {
    b.example('camper-bench')
    b.write('camper-bench', b.read('camper-bench').replace('volume: 28 L', 'volume: 0.5 ft3'))
    await b.open('/s/camper-bench/loadings')
    const v = b.value(one)
    await v.waitFor()
    b.assert.equal(await v.innerText(), '14.2')
    b.assert.equal(await v.getAttribute('aria-valuetext'), '14.2 L')
    b.assert.equal(await v.getAttribute('aria-valuenow'), '14.2')
    await v.focus()
    await b.page.keyboard.press('+')
    b.assert.equal(await v.innerText(), '14.3')
    b.assert.equal(await b.page.locator('.was').innerText(), 'was 14.2')
    await b.page.keyboard.press('Escape')
    await b.page.waitForTimeout(900)
    b.assert.match(b.read('camper-bench'), /volume: 0\.5 ft3/, 'nothing is written anew that was not changed')
    await b.page.keyboard.press('Enter')
    b.assert.equal(await b.page.getByRole('textbox', { name: 'net volume of one' }).inputValue(), '14.2 L')
    await b.page.keyboard.press('Enter')
    await b.page.waitForTimeout(300)
    b.assert.match(b.read('camper-bench'), /volume: 0\.5 ft3/, 'opened and closed is not changed')
    await v.focus()
    await b.page.keyboard.type('30')
    await b.page.keyboard.press('Enter')
    await b.until('a bare number is in litres', () => /volume: 30 L/.test(b.read('camper-bench')))
    await b.until('and shown so', async () => (await v.innerText()) === '30.0')
  },

  async 'what is opened while the server is away opens, and has what it shows when the server is back'(b) {
    await loadings(b)
    b.expected.push(...away)
    for (const [step, there, shown] of [['Share', 'A figure', 'img[alt="Preview of the figure"]'], ['Versions', 'History', '.version']]) {
      const start = await b.restart('SIGKILL')
      await b.page.getByText('What you see is as it was').waitFor()
      await b.page.getByRole('link', { name: step }).click()
      await b.page.getByRole('heading', { name: there }).waitFor()
      await b.page.locator('main').getByText('does not answer').nth(1).waitFor() // the page, and what it would show
      await start()
      await b.page.locator(shown).first().waitFor({ state: 'attached' })
      await b.until('no word of it is left', async () => (await b.page.getByText('does not answer').count()) === 0)
    }
  },

  async 'what was moved or chosen while the server is away goes back, and says so'(b) {
    await loadings(b)
    const text = b.read('camper-bench')
    b.expected.push(...away)
    await b.page.locator('.next button').first().waitFor() // and with it the kinds that a box may be
    const before = await b.value(one).innerText()
    const f3 = b.page.locator('.ledger tbody tr').filter({ hasText: 'Extension F3' }).locator('td').first()
    const figure = await f3.innerText()
    await b.value(one).focus()
    for (let k = 0; k < 5; k++) await b.page.keyboard.press('+')
    await b.until('it follows', async () => (await f3.innerText()) !== figure)
    const start = await b.restart('SIGKILL')
    await b.page.getByText('this is as it was, and nothing was saved').waitFor()
    b.assert.equal(await b.page.getByText('what you typed stays here').count(), 0)
    b.assert.equal(await b.value(one).innerText(), before)
    b.assert.equal(await f3.innerText(), figure, 'and so is what followed from it')
    const kind = b.value('candidates.one.enclosure.kind')
    await kind.click()
    await b.page.getByRole('option', { name: 'vented' }).click()
    await b.until('the choice too', async () => (await b.page.getByText('this is as it was, and nothing was saved').count()) > 0 && (await kind.innerText()) === 'sealed')
    await start()
    await b.until('it goes on', async () => (await b.page.getByText('The server does not answer').count()) === 0)
    b.assert.equal(b.read('camper-bench'), text)
  },

  async 'the list says no longer that the server is away when it is back'(b) {
    b.example('camper-bench')
    await b.open('/')
    await b.page.getByRole('row').filter({ hasText: 'Camper bench' }).waitFor()
    b.expected.push(...away)
    const start = await b.restart('SIGKILL')
    await b.page.getByRole('alert').first().waitFor()
    await b.page.getByRole('button', { name: 'Make it' }).click()
    await b.page.waitForTimeout(300)
    b.assert.equal(await b.page.getByRole('alert').count(), 1, 'said once')
    await start()
    await b.until('nothing is said', async () => (await b.page.getByRole('alert').count()) === 0)
  },

  async 'a new name is taken by enter, once, and the focus stays'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/drivers')
    await b.page.getByRole('button', { name: 'rename merlin-10' }).focus()
    await b.page.keyboard.press('Enter')
    await b.page.keyboard.type('merlin-ten')
    await b.page.keyboard.press('Enter')
    await b.until('renamed', () => /^ {2}merlin-ten:/m.test(b.read('camper-bench')))
    await b.page.waitForTimeout(400)
    b.assert.equal(await b.page.getByRole('textbox', { name: /New name/ }).count(), 0, 'the field does not open again')
    b.assert.notEqual(await focused(b), 'BODY')
  },

  async 'alone, hidden and the yardstick follow a new name, and end with the candidate'(b) {
    await loadings(b)
    await more(b, 'tuned', 'show alone')
    b.assert.deepEqual(await columns(b), ['tuned'])
    await more(b, 'tuned', 'rename')
    await b.page.getByRole('textbox', { name: 'New name of tuned' }).fill('deep')
    await b.page.keyboard.press('Enter')
    await b.until('it follows', async () => (await columns(b)).join() === 'deep')
    b.assert.equal(await b.page.locator('.strip canvas').count(), 5)
    b.assert.match(await focused(b), /^more ?for deep$/)
    b.write('camper-bench', b.read('camper-bench').replace(/^ {2}deep:/m, '  deeper:')) // by an editor
    await b.until('it follows that too', async () => (await columns(b)).join() === 'deeper')
    await more(b, 'deeper', 'remove (undo brings it back)')
    await b.until('all others are shown', async () => (await columns(b)).join() === names.filter((n) => n !== 'tuned').join())
  },

  async 'a range that cannot be shown is refused in words'(b) {
    await loadings(b)
    const from = b.page.getByRole('spinbutton', { name: 'Lowest frequency shown, Hz' })
    await from.fill('500')
    await from.press('Enter')
    await b.page.getByRole('alert').filter({ hasText: 'From 500 to 400' }).waitFor()
    b.assert.equal(await from.inputValue(), '10', 'the field says what is shown')
    await from.fill('20')
    await from.press('Enter')
    await b.until('nothing is said any more', async () => (await b.page.getByRole('alert').count()) === 0)
    b.assert.match(b.page.url(), /from=20/)
  },

  async 'keys of a single letter can be switched off'(b) {
    await loadings(b)
    const values = b.page.locator('.terms button[aria-pressed]')
    await b.page.keyboard.press('d')
    b.assert.equal(await values.innerText(), 'differences')
    await b.page.keyboard.press('d')
    await b.page.keyboard.press('?')
    await b.page.getByRole('checkbox', { name: /single letter/ }).uncheck()
    await b.page.getByRole('button', { name: 'close' }).click()
    for (const k of ['d', 'P', '?', '1']) await b.page.keyboard.press(k)
    b.assert.equal(await values.innerText(), 'values')
    b.assert.match(b.page.url(), /loadings/)
    b.assert.equal(await b.page.getByRole('dialog', { name: 'Keys' }).count(), 0)
    await b.page.reload()
    await b.value(one).waitFor()
    await b.page.getByRole('link', { name: 'Present' }).click()
    await b.page.locator('.lesson canvas').waitFor()
    const title = await b.page.locator('h1').innerText()
    await b.page.keyboard.press('s')
    b.assert.equal(await b.page.locator('h1').innerText(), title)
    await b.page.keyboard.press('Escape') // what is no single sign still works
    await b.value(one).waitFor()
    await b.page.getByRole('button', { name: 'Keys' }).click()
    await b.page.getByRole('checkbox', { name: /single letter/ }).check()
    await b.page.keyboard.press('Escape')
    await b.page.keyboard.press('d')
    await b.until('on again', async () => (await values.innerText()) === 'differences')
    await b.page.getByRole('link', { name: 'Brief' }).click()
    await b.page.locator('.prose').waitFor()
    await b.page.keyboard.press('d') // here it would change unseen what Share saves
    await b.page.getByRole('link', { name: 'Loadings' }).click()
    b.assert.equal(await values.innerText(), 'differences')
  },

  async 'a single key can be given another, alone or with alt'(b) {
    await loadings(b)
    const values = b.page.locator('.terms button[aria-pressed]')
    await b.page.keyboard.press('?')
    const field = b.page.getByRole('textbox', { name: /differences from the yardstick/ })
    await field.press('y')
    await b.page.getByRole('alert').filter({ hasText: 'already' }).waitFor()
    await field.press('v')
    b.assert.equal(await field.inputValue(), 'v')
    const present = b.page.getByRole('textbox', { name: 'Key: present' })
    await present.press('Alt+p')
    b.assert.equal(await present.inputValue(), 'alt p')
    await b.clean('the keys')
    await b.shot('keys')
    await b.page.getByRole('button', { name: 'close' }).click()
    await b.page.keyboard.press('d')
    b.assert.equal(await values.innerText(), 'values')
    await b.page.keyboard.press('v')
    await b.until('the new one does it', async () => (await values.innerText()) === 'differences')
    await b.page.reload()
    await b.value(one).waitFor()
    await b.page.keyboard.press('P')
    await b.page.keyboard.press('Alt+p')
    await b.page.locator('.lesson').waitFor()
  },

  async 'after an act the focus is never lost'(b) {
    b.write('new', 'study: New\ndrivers:\n  kite-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, xmax: 12 mm, rated_power: 350 W}\n')
    await b.open('/s/new/brief')
    for (const [press, has, want] of [['Give one', 'space:', /width of the space/], ['Give one', 'amplifier:', /^power into/], ['at any level', 'level:', /^level asked/]]) {
      await b.page.getByRole('button', { name: press, exact: true }).first().focus()
      await b.page.keyboard.press('Enter')
      await b.until(`${has} is there`, () => b.read('new').includes(has))
      await b.until(`${press}: the focus is on what came`, async () => want.test(await focused(b)))
    }
    await b.page.getByRole('link', { name: 'Drivers' }).click()
    await b.page.getByRole('button', { name: 'paste a sheet' }).click()
    await b.page.getByRole('textbox', { name: 'It is called' }).fill('heron-8')
    await b.page.getByRole('textbox', { name: /sheet as it is printed/ }).fill('Fs 30.5 Hz\nQms 4.9\nQes 0.49\nVas 44 L\nSd 345 cm2\nRe 3.3 ohm\nXmax 12 mm\n')
    await b.page.getByRole('button', { name: 'one way' }).focus()
    await b.page.keyboard.press('Enter')
    await b.until('one way: the focus goes on', async () => /one way|Take it|close/.test(await focused(b)))
    await b.page.getByRole('button', { name: /^Take it/ }).focus()
    await b.page.keyboard.press('Enter')
    await b.until('taken', () => b.read('new').includes('heron-8'))
    await b.until('take it: the focus is somewhere', async () => (await b.page.getByRole('button', { name: /^Take it/ }).count()) === 0 && (await focused(b)) !== 'BODY')
    await b.page.getByRole('link', { name: 'Brief' }).click()
    await b.page.getByRole('button', { name: /^Begin with one/ }).focus()
    await b.page.keyboard.press('Enter')
    await b.until('begun', () => b.read('new').includes('candidates'))
    await b.until('begin: the focus is somewhere', async () => (await focused(b)) !== 'BODY')
    for (const step of ['Loadings', 'Share']) {
      await b.page.getByRole('link', { name: step }).focus()
      await b.page.keyboard.press('Enter')
      await b.page.waitForTimeout(300)
      b.assert.notEqual(await focused(b), 'BODY', step)
    }
    await b.page.getByRole('link', { name: 'Present' }).focus()
    await b.page.keyboard.press('Enter')
    await b.page.locator('.lesson').waitFor()
    await b.until('present', async () => (await focused(b)) !== 'BODY')
    await b.page.keyboard.press('Escape')
    await b.page.getByRole('heading', { name: 'A figure' }).waitFor()
    await b.until('back', async () => (await focused(b)) !== 'BODY')
    await b.page.getByRole('link', { name: 'Loadings' }).click()
    await b.page.getByRole('button', { name: /variations/ }).first().click()
    const way = b.page.locator('.ways .lists button').first()
    await way.waitFor()
    const text = b.read('new')
    await way.focus()
    await b.page.keyboard.press('Enter')
    await b.until('taken', () => b.read('new') !== text)
    await b.page.waitForTimeout(500)
    b.assert.notEqual(await focused(b), 'BODY', 'a variation')
  },

  async 'the entries of the menu are told apart, and the section of a single candidate leaves the ledger in sight'(b) {
    await loadings(b, { width: 1024 })
    await b.page.getByRole('button', { name: 'more for tuned' }).click()
    const menu = b.page.getByRole('list', { name: 'For tuned' })
    b.assert.match(await menu.innerText(), /note: write one/)
    for (const box of await menu.getByRole('button').evaluateAll((all) => all.map((e) => [e.getBoundingClientRect().height, Number.parseFloat(getComputedStyle(e).paddingLeft), Number.parseFloat(getComputedStyle(e).textIndent)])))
      b.assert.ok(box[0] < 32 || (box[1] > 8 && box[2] < 0), 'an entry of two lines hangs')
    const acts = await b.page.locator('.head .acts button').evaluateAll((all) => all.map((e) => e.getBoundingClientRect().toJSON()))
    for (const [i, p] of acts.entries()) for (const q of acts.slice(i + 1)) b.assert.ok(p.bottom <= q.top || q.bottom <= p.top || p.right + 4 <= q.left || q.right + 4 <= p.left, 'what can be pressed does not touch')
    await b.page.keyboard.press('Escape')
    await b.shot('menu-1024')

    const text = b.read('camper-bench')
    const at = text.search(/^ {2}pair:/m)
    b.write('camper-bench', text.slice(0, at))
    for (const width of [1440, 1024, 768]) {
      await b.open('/s/camper-bench/loadings', { width })
      await b.page.locator('.drawing svg').waitFor()
      const d = await b.page.locator('.drawing').boundingBox()
      b.assert.ok(d.height <= 361 && d.width <= 421, `the section is ${d.width} × ${d.height} at ${width} px`)
      const figures = await b.page.locator('.drawing svg text').evaluateAll((all) => all.map((e) => e.getBoundingClientRect().height))
      b.assert.ok(figures.length > 0 && figures.every((h) => h <= 18), `what it says is ${figures} px high: small type is`)
    }
    await b.shot('lone')
  },

  async 'in forced colours the hairline’s frequency can be read, and the grid is fainter than the curves'(b) {
    await loadings(b)
    for (const [path, box] of [['loadings', '.reader'], ['present', '.hairline b']]) {
      await b.open(`/s/camper-bench/${path}`)
      await b.page.emulateMedia({ forcedColors: 'active' })
      await b.page.locator('canvas').first().waitFor()
      const [ink, ground] = await b.page.locator(box).first().evaluate((e) => [getComputedStyle(e).color, getComputedStyle(e).backgroundColor])
      b.assert.notEqual(ink, ground, path)
      b.assert.match(ground, /^rgb\(/, 'the box is filled')
      b.assert.equal(await b.page.locator(box).first().evaluate((e) => getComputedStyle(e).forcedColorAdjust), 'none')
      const width = await b.page.locator('.under .hair').first().evaluate((e) => Number.parseFloat(getComputedStyle(e).strokeWidth))
      b.assert.ok(width < 1, `the grid is ${width} px`)
      await b.page.screenshot({ path: `${b.shots}/forced-${path}.png` })
    }
  },

  async 'in forced colours what cannot be pressed looks so'(b) {
    await loadings(b)
    for (const [path, name, open] of [['loadings', 'Undo', 'Keys'], ['text', 'Save', 'Keys'], ['present', /one back/, /the next candidate/]]) {
      await b.open(`/s/camper-bench/${path}`)
      await b.page.emulateMedia({ forcedColors: 'active' })
      const off = b.page.getByRole('button', { name, exact: true, disabled: true })
      await off.waitFor()
      const look = (of) => of.evaluate((e) => [getComputedStyle(e).color, getComputedStyle(e).opacity])
      const grey = await b.page.evaluate(() => {
        const e = document.body.appendChild(document.createElement('i'))
        e.style.color = 'GrayText'
        const is = getComputedStyle(e).color
        e.remove()
        return is
      })
      b.assert.deepEqual(await look(off), [grey, '1'], path)
      b.assert.notEqual((await look(b.page.getByRole('button', { name: open }).first()))[0], grey, path)
      await b.page.screenshot({ path: `${b.shots}/forced-off-${path}.png` })
    }
  },

  async 'a shortlist that cannot be read is not called empty'(b) {
    b.example('camper-bench')
    b.write('camper-bench', b.read('camper-bench').replace(/^drivers:/m, 'drivers: ['))
    await b.open('/s/camper-bench/drivers')
    await b.page.getByRole('heading', { name: /to mend/ }).waitFor()
    await b.page.getByText('cannot be read before what stands above is mended').waitFor()
    b.assert.equal(await b.page.getByText('No woofer is here yet').count(), 0)
  },

  async 'undo takes back what is being typed, also where nothing else is to be undone'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    await b.value(one).waitFor()
    const text = b.read('camper-bench')
    const undo = b.page.getByRole('button', { name: 'Undo', exact: true })
    b.assert.equal(await undo.isEnabled(), false)
    await b.value(one).focus()
    await b.page.keyboard.press('Enter')
    await b.page.keyboard.type('44 L')
    await b.until('it can be pressed', () => undo.isEnabled())
    const box = await undo.boundingBox()
    await b.page.mouse.move(box.x + 8, box.y + 8)
    await b.page.mouse.down()
    await b.page.waitForTimeout(120) // as long as a hand presses
    await b.page.mouse.up()
    await b.until('it is taken back', async () => (await b.page.getByRole('button', { name: 'Redo', exact: true }).isEnabled()) && b.read('camper-bench') === text)
    b.assert.equal(await b.page.locator('input.typing').count(), 0)
  },

  async 'a number and its unit stay on one line in the sentences of the brief'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/brief', { width: 768, height: 1024, theme: 'dark' })
    await b.page.locator('.brief .value').first().waitFor()
    const parted = await b.page.evaluate(() => [...document.querySelectorAll('.brief .value')].filter((e) => /^[\d.,+−-]+\s\S{1,3}$/u.test(e.textContent) && e.getClientRects().length > 1).map((e) => e.textContent))
    b.assert.deepEqual(parted, [])
    b.assert.equal(await b.page.evaluate(() => [...document.querySelectorAll('.brief .value')].some((e) => /\d\u2009/u.test(e.textContent) && getComputedStyle(e).whiteSpace !== 'nowrap')), false, 'none can part at another width')
  },
}
