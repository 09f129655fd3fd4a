// The whole job by keys alone: a sheet is pasted, a candidate begun and varied, a number
// stepped, candidates are hidden, pinned and put in another order, a figure leaves and a
// lesson is held. No pointer is touched: every place is reached with the tab key.

/** names are what a screen reader calls the focused element, or all that can be pressed. */
const names = (page, all) =>
  page.evaluate((all) => {
    const texts = (e) => [...e.childNodes].map((n) => (n.nodeType === 3 ? n.textContent : n.nodeType === 1 ? texts(n) : '')).join(' ')
    const called = (e) => (e.getAttribute('aria-label') ?? e.labels?.[0]?.textContent ?? texts(e)).replace(/\s+/g, ' ').trim()
    const focused = document.activeElement
    if (!all) return focused && focused !== document.body ? [called(focused)] : ['']
    return [...document.querySelectorAll('button, a, [role=button]')].filter((e) => !e.disabled).map(called)
  }, all)
const name = async (page) => (await names(page, false))[0]

/** to goes on with the tab key until the focus is on what is called so, and sees that the focus is seen. */
async function to(b, what, back = false) {
  for (let k = 0; k < 500; k++) {
    await b.page.keyboard.press(back ? 'Shift+Tab' : 'Tab')
    if (!what.test(await name(b.page))) continue
    const ring = await b.page.evaluate(() => {
      const s = getComputedStyle(document.activeElement)
      return s.outlineStyle !== 'none' && Number.parseFloat(s.outlineWidth) > 0
    })
    b.assert.ok(ring, `the focus on ${what} is not seen`)
    return
  }
  b.assert.fail(`no tab comes to ${what}; the last was ${await name(b.page)}`)
}

async function press(b, what) {
  await b.until(`${what} is there`, async () => (await names(b.page, true)).some((n) => what.test(n)))
  await to(b, what)
  await b.page.keyboard.press('Enter')
}

/** among goes to a cell of the ledger or of the sheet of woofers, each of which is one stop of the tab key, by arrows: row by row, each to its end. */
async function among(b, what) {
  const inside = () => b.page.evaluate(() => !!document.activeElement.closest('[role=grid] :is(tr.row, thead)'))
  for (let k = 0; k < 100 && !(await inside()); k++) await b.page.keyboard.press('Tab')
  await b.page.keyboard.press('Control+Home')
  for (let row = 0; row < 80; row++) {
    for (let last; last !== (await name(b.page)); await b.page.keyboard.press('ArrowRight')) {
      last = await name(b.page)
      if (what.test(last)) return
    }
    await b.page.keyboard.press('Home')
    await b.page.keyboard.press('ArrowDown')
  }
  b.assert.fail(`no arrow comes to ${what}`)
}
async function pressAmong(b, what) {
  await b.until(`${what} is there`, async () => (await names(b.page, true)).some((n) => what.test(n)))
  await among(b, what)
  await b.page.keyboard.press('Enter')
}

const printed = 'Fs 30,5 Hz\nQms: 4.9\nQes = 0.49\nEquivalent volume 1.55 ft³\nSd 345 cm²\nRe 3.3 ohm\nXmax (p-p) 24 mm\nPower handling 350 W rms'

export default {
  async 'the whole job, by keys alone'(b) {
    b.example('workshop-stool')
    const page = await b.open('/', { height: 1100 })
    const file = () => b.read('aviary')
    const order = () => page.locator('[data-candidate]').evaluateAll((list) => list.map((e) => e.dataset.candidate))

    // a new study, and its woofer
    await page.getByRole('button', { name: 'Make it' }).waitFor()
    await to(b, /^Name of the new study$/)
    await page.keyboard.type('aviary')
    await page.keyboard.press('Enter')
    await page.waitForURL('**/s/aviary/brief')
    await press(b, /^Drivers/)
    await press(b, /^paste a sheet$/)
    await b.until('the sheet has the focus', async () => /as it is printed/.test(await name(page)))
    await page.keyboard.insertText(printed)
    await page.getByText('From these follow').waitFor()
    await to(b, /^It is called/, true)
    await page.keyboard.type('teal-8')
    await press(b, /^Take it into the shortlist$/)
    await b.until('it is in the file', () => /teal-8:[\s\S]*rated_power: 350 W/.test(file()))

    // what follows from the sheet is there before any candidate is, and opens
    const total = page.getByRole('button', { name: /^Total Q of teal-8: 0\.445/ })
    await total.waitFor()
    b.assert.equal(await page.locator('thead svg[role=img]').count(), 1, 'the woofer is drawn')
    await pressAmong(b, /^Total Q of teal-8/)
    await page.getByText('Qts = Qms · Qes / (Qms + Qes)').waitFor()
    await page.keyboard.press('Escape')

    // a candidate, another one, and a variation of it
    await press(b, /^Begin with one teal-8/)
    await b.until('a candidate is there', () => /candidates:[\s\S]*teal-8/.test(file()))
    await press(b, /^Loadings/)
    await pressAmong(b, /^more for one$/)
    await press(b, /^duplicate$/)
    await b.until('two candidates', () => /one-2:/.test(file()))
    await pressAmong(b, /^variations of one-2$/)
    await b.until('variations have come', async () => (await page.locator('.ways button').count()) > 0)
    const words = (await page.getByRole('region', { name: 'Mounting of one-2' }).getByRole('button').first().innerText()).replace(/\s+/g, ' ').trim()
    await press(b, new RegExp(`^${words.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}$`))
    await b.until(`“${words}” is written`, () => /one-2:[\s\S]*(stack|side_by_side): 2/.test(file()))

    // a number by its arrow keys, and back
    const stepped = file()
    await among(b, /net volume.*of one\b|^volume of one\b|one.*volume/i)
    const was = await page.evaluate(() => document.activeElement.getAttribute('aria-valuenow'))
    await page.keyboard.press('+')
    await b.until('it is saved', () => file() !== stepped)
    b.assert.notEqual(await page.evaluate(() => document.activeElement.getAttribute('aria-valuenow')), was)
    await page.keyboard.press('Control+z')
    await b.until('and taken back', () => file() === stepped)

    // hidden and shown, pinned, and in another order
    await pressAmong(b, /^hide curves of one-2$/)
    await b.until('hidden', () => page.evaluate(() => [...document.querySelectorAll('[data-candidate="one-2"] [aria-pressed=false]')].length > 0))
    await pressAmong(b, /^show curves of one-2$/)
    await pressAmong(b, /^more for one-2$/)
    await press(b, /^pin: first/)
    await b.until('the pinned one stands first', async () => (await order())[0] === 'one-2')
    await pressAmong(b, /^more for one-2$/)
    await press(b, /^move left$/)
    await b.until('the order in the file', () => file().search(/\bone-2:/) < file().search(/\bone:/))

    // a figure leaves
    await press(b, /^Share$/)
    await b.until('the figure can be saved', () => page.getByRole('link', { name: 'Save the figure' }).count())
    await to(b, /^Save the figure$/)
    const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Enter')])
    b.assert.equal(download.suggestedFilename(), 'aviary-level.svg')

    // and the lesson
    await press(b, /^Present$/)
    await page.locator('.lesson canvas').waitFor()
    const shown = () => page.locator('.pinned .v:visible').count()
    b.assert.equal(await shown(), 1)
    await page.keyboard.press('Space')
    await b.until('the second candidate', async () => (await shown()) === 2)
    await page.keyboard.press('s')
    await page.keyboard.press('Escape')
    await page.locator('.ledger, .share').first().waitFor()
  },
}
