// The bar: places by address, the keys, light and dark, and all of it by keyboard.
import assert from 'node:assert/strict'
import { until } from './harness.mjs'

export default async function flow({ open, look, clean, base, text }) {
  const page = await open('/s/camper-bench/brief')
  const current = () => page.getByRole('navigation').locator('[aria-current]').innerText()
  await page.getByRole('heading', { level: 1, name: 'Camper bench' }).waitFor()
  await until('it is told when it was saved', async () => /^saved (\d\d:\d\d|\d+ \w+ \d{4})$/.test(await page.getByRole('status').first().innerText()))

  // address, back and forward
  await page.getByRole('link', { name: 'Drivers' }).click()
  assert.equal(new URL(page.url()).pathname, '/s/camper-bench/drivers')
  await page.getByRole('link', { name: 'Loadings' }).click()
  await page.goBack()
  assert.match(await current(), /Drivers/)
  await page.goBack()
  assert.equal(await current(), 'Brief')
  await page.goForward()
  assert.match(await current(), /Drivers/)
  assert.equal(await page.title(), 'Camper bench · basswright')

  // the list of keys
  await page.keyboard.press('?')
  await page.getByRole('dialog', { name: 'Keys' }).waitFor()
  await look(page, 'keys')
  await page.keyboard.press('Escape')
  await until('it is closed', async () => (await page.getByRole('dialog', { name: 'Keys' }).count()) === 0)

  // the theme stays
  const theme = () => page.evaluate(() => document.documentElement.dataset.theme)
  await until('it is light, as the system is again', async () => (await theme()) === 'light')
  await page.getByRole('button', { name: 'Dark' }).click()
  assert.equal(await theme(), 'dark')
  await page.reload()
  await page.getByRole('button', { name: 'Light' }).waitFor()
  assert.equal(await theme(), 'dark')
  await page.getByRole('button', { name: 'Light' }).click()

  // by keyboard alone: skip the bar, go to a number, change it, take it back
  await page.goto(`${base}/s/camper-bench/brief`)
  await page.getByRole('spinbutton', { name: 'width of the space' }).waitFor()
  await page.keyboard.press('Tab')
  assert.equal(await page.evaluate(() => document.activeElement.textContent), 'Skip to the page')
  await page.keyboard.press('Enter')
  const label = () => page.evaluate(() => document.activeElement.getAttribute('aria-label') ?? '')
  for (let k = 0; k < 12 && (await label()) !== 'height of the space'; k++) await page.keyboard.press('Tab')
  assert.equal(await label(), 'height of the space')
  await page.keyboard.press('ArrowUp')
  await until('it is saved', () => text('camper-bench').includes('height: 281 mm'))
  await page.keyboard.press('Control+z')
  await until('it is taken back', () => text('camper-bench').includes('height: 280 mm'))

  // everything that can be pressed is at least 24 px high and has a name
  for (const step of ['brief', 'drivers', 'text', 'versions']) {
    await page.goto(`${base}/s/camper-bench/${step}`)
    await page.locator('main > *').first().waitFor()
    await page.waitForTimeout(300)
    const small = await page.evaluate(() =>
      [...document.querySelectorAll('button, [role=spinbutton], [role=combobox], [role=button], select')]
        .map((e) => ({ e, r: e.getClientRects() }))
        .filter(({ r }) => r.length > 0 && [...r].every((b) => b.height < 24 && b.width > 0))
        .map(({ e, r }) => `${e.outerHTML.slice(0, 120)} ${Math.round(r[0].height)}`),
    )
    assert.deepEqual(small, [], `on ${step}`)
  }

  // a study that is not there, and one with a strange name
  await page.goto(`${base}/s/nowhere/brief`)
  await page.getByRole('alert').filter({ hasText: 'There is no study nowhere in this folder' }).waitFor()
  assert.equal(await page.getByRole('status').first().innerText(), 'no such study')
  assert.equal(await page.getByText('is gone').count(), 0, 'what never was is not gone')
  await look(page, 'nowhere')

  // forced colours: they are the system's, and no text has the colour of what it stands on
  const base_ = new URL(page.url()).origin
  await page.emulateMedia({ forcedColors: 'active', reducedMotion: 'reduce' })
  for (const step of ['brief', 'drivers', 'loadings', 'versions', 'share']) {
    await page.goto(`${base_}/s/camper-bench/${step}`)
    await page.locator('main > *').first().waitFor()
    await page.waitForTimeout(300)
    assert.ok(await page.evaluate(() => matchMedia('(forced-colors: active)').matches), 'colours are forced')
    const { unseen, systems } = await page.evaluate(colours)
    assert.deepEqual(unseen, [], `what cannot be seen on ${step}`)
    assert.ok(systems, `${step} stands on the system’s colours`)
    await clean(page, `${step} in forced colours`)
  }
  await page.goto(`${base_}/s/camper-bench/brief`)
  await page.getByRole('spinbutton', { name: 'width of the space' }).waitFor()
  await page.screenshot({ path: new URL('shots/forced-colors.png', import.meta.url).pathname, fullPage: true })

  // reduced motion: nothing moves by itself, on any step; without it something may
  const moves = async (reducedMotion) => {
    await page.emulateMedia({ forcedColors: 'none', reducedMotion })
    const found = []
    for (const step of ['brief', 'drivers', 'loadings', 'text', 'versions', 'share', 'present']) {
      await page.goto(`${base_}/s/camper-bench/${step}`)
      await page.locator('main > *').first().waitFor()
      await page.waitForTimeout(200)
      // something that moves, so that the look for it can fail
      await page.evaluate(() => document.body.append(Object.assign(document.createElement('i'), { className: 'probe', style: 'transition: color 1s' })))
      found.push(...(await page.evaluate(moving)).map((m) => `${step}: ${m}`))
    }
    return found
  }
  assert.deepEqual(await moves('reduce'), [])
  assert.deepEqual((await moves('no-preference')).filter((m) => m.endsWith('.probe')).length, 7, 'what moves is seen where it may')
}

/** colours finds, in the page, texts in the colour of what is behind them. */
function colours() {
  const clear = (c) => /rgba\(.*, 0\)|transparent/.test(c)
  const behind = (e) => {
    for (let at = e; at; at = at.parentElement) {
      const c = getComputedStyle(at).backgroundColor
      if (!clear(c)) return c
    }
    return 'rgb(255, 255, 255)'
  }
  const unseen = []
  for (const e of document.querySelectorAll('body *')) {
    const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim() !== '')
    const box = e.getBoundingClientRect()
    if (!own || box.width === 0 || box.height === 0 || e.closest('svg, .visually-hidden, option') || !e.checkVisibility()) continue
    if (getComputedStyle(e).color === behind(e)) unseen.push(`${e.tagName}.${e.className} ${e.textContent.trim().slice(0, 40)}`)
  }
  const probe = document.body.appendChild(document.createElement('i'))
  probe.style.cssText = 'color: CanvasText; background: Canvas'
  const want = getComputedStyle(probe)
  const systems = behind(document.querySelector('main')) === want.backgroundColor && getComputedStyle(document.querySelector('main')).color === want.color
  probe.remove()
  return { unseen, systems }
}

/** moving finds, in the page, what would move by itself. */
function moving() {
  const lasts = (t) => t.split(',').some((d) => Number.parseFloat(d) > 0)
  const styled = [...document.querySelectorAll('*')].flatMap((e) => {
    const s = getComputedStyle(e)
    const moves = (s.transitionProperty !== 'none' && lasts(s.transitionDuration)) || (s.animationName !== 'none' && lasts(s.animationDuration)) || s.scrollBehavior === 'smooth'
    return moves ? [`${e.tagName}.${e.className?.baseVal ?? e.className}`] : []
  })
  return [...styled, ...document.getAnimations().map((a) => `animation ${a.id}`)]
}
