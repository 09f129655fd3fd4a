// The brief: every blank can be filled, changed and left out, by mouse and by
// keyboard; what cannot stand is said and not saved; the file keeps its form.
import assert from 'node:assert/strict'
import { saved, until } from './harness.mjs'

export default async function flow({ open, look, clean, text }) {
  const page = await open('/s/camper-bench/brief')
  const before = text('camper-bench')
  const number = (name) => page.getByRole('spinbutton', { name, exact: true })
  const blank = (name) => page.getByRole('button', { name: new RegExp(`^${name}:`) })
  const on = (what) => until(what, () => text('camper-bench').includes(what))
  const width = number('width of the space')
  await width.waitFor()
  await look(page, 'brief')

  // at no width a line begins with what ends a clause, and what is written in the sketch can be read or stands below it
  const lone = () =>
    page.evaluate(() => {
      const out = []
      const walk = document.createTreeWalker(document.querySelector('.prose'), NodeFilter.SHOW_TEXT)
      for (let node = walk.nextNode(); node; node = walk.nextNode()) {
        const start = node.parentElement.closest('p')?.getBoundingClientRect().left
        if (start === undefined) continue
        for (const m of node.data.matchAll(/(?<!\s)[.,;:×](?=\s|$)/g)) {
          const of = document.createRange()
          of.setStart(node, m.index)
          of.setEnd(node, m.index + 1)
          const box = of.getBoundingClientRect()
          if (box.width > 0 && box.left < start + 4) out.push(`“${m[0]}” of “${node.data.trim()}”`)
        }
      }
      return out
    })
  const sketched = () =>
    page.evaluate(() => {
      const drawn = [...document.querySelectorAll('.space svg text')].filter((t) => t.getBoundingClientRect().width > 0)
      return { small: drawn.map((t) => [t.textContent, Number.parseFloat(getComputedStyle(t).fontSize) * Math.hypot(t.getScreenCTM().a, t.getScreenCTM().b)]).filter(([, px]) => px < 8.99), figures: drawn.filter((t) => t.dataset.over).length, captions: drawn.filter((t) => !t.dataset.over).length, below: document.querySelector('.space p')?.textContent ?? '' }
    })
  for (let across = 720; across <= 1440; across += 12) {
    await page.setViewportSize({ width: across, height: 900 })
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
    assert.deepEqual(await lone(), [], `at ${across} px`)
    const { small, figures, captions, below } = await sketched()
    assert.deepEqual(small, [], `at ${across} px`)
    assert.ok(figures > 0, `no dimension can be read at ${across} px`)
    assert.ok(captions > 0 ? below === '' : /room for two .* stay behind the magnet/.test(below), `at ${across} px: ${captions} captions, below “${below}”`)
  }
  await page.setViewportSize({ width: 1440, height: 900 })

  // drag: 4 px are one step, and the tape shows what it was
  const box = await width.boundingBox()
  await page.mouse.move(box.x + 10, box.y + 10)
  await page.mouse.down()
  await page.mouse.move(box.x + 50, box.y + 10, { steps: 5 })
  await page.getByText('was 700').waitFor()
  await until('the number is where the pointer is', async () => (await width.getAttribute('aria-valuenow')) === '710')
  assert.equal(text('camper-bench'), before, 'nothing is saved while it is dragged')
  await clean(page, 'a number being dragged')
  assert.equal(await page.getByRole('img', { name: /^The space/ }).count(), 1, 'the drawing stays while a number moves')
  await page.screenshot({ path: new URL('shots/drag.png', import.meta.url).pathname })
  await page.mouse.up()
  await on('width: 710 mm')
  assert.equal(text('camper-bench'), before.replace('width: 700 mm', 'width: 710 mm'), 'only the number has changed')

  // escape during a drag takes it back; the page shows what was saved first
  await page.getByTitle(/^Undo: .*710/).waitFor() // the answer to the save has come, which the number itself does not tell
  assert.equal(await width.getAttribute('aria-valuenow'), '710')
  await page.mouse.move(box.x + 10, box.y + 10)
  await page.mouse.down()
  await page.mouse.move(box.x + 90, box.y + 10, { steps: 3 })
  await page.getByText('was 710').waitFor()
  await page.keyboard.press('Escape')
  await page.mouse.up()
  await saved(page)
  assert.equal(await width.innerText(), '710\u2009mm')
  assert.ok(text('camper-bench').includes('width: 710 mm'))

  // keys: a step, ten steps, and one undo step for all of them
  await width.focus()
  await page.keyboard.press('ArrowUp')
  await page.keyboard.press('ArrowUp')
  await page.keyboard.press('Alt+ArrowRight')
  await on('width: 722 mm')
  await page.keyboard.press('Control+z')
  await on('width: 710 mm')
  await page.keyboard.press('Control+z')
  await on('width: 700 mm')
  assert.equal(text('camper-bench'), before)
  await page.keyboard.press('Control+Shift+z')
  await on('width: 710 mm')

  // typed in another unit
  await width.focus()
  await page.keyboard.press('Enter')
  await page.keyboard.type('27.5 in')
  await page.keyboard.press('Enter')
  await on('width: 27.5 in')
  await page.getByText('27.5\u2009in').waitFor()
  assert.equal(await page.evaluate(() => document.activeElement.getAttribute('aria-label')), 'width of the space', 'the focus comes back')

  // what cannot stand is said while it is typed, stays open, and is not saved
  await page.keyboard.press('Enter')
  await page.keyboard.type('27 foo')
  await page.getByRole('alert').filter({ hasText: 'foo' }).waitFor()
  await page.screenshot({ path: new URL('shots/typed-wrong.png', import.meta.url).pathname })
  await page.keyboard.press('Enter')
  await page.getByRole('textbox', { name: 'width of the space' }).waitFor()
  assert.ok(text('camper-bench').includes('width: 27.5 in'))
  await clean(page, 'a wrong value being typed')
  await page.keyboard.press('Escape')
  await width.waitFor()

  // a blank: its example to begin with, filled, and left out again
  await blank('F6 asked').press('Enter')
  assert.equal(await page.getByRole('textbox', { name: 'F6 asked' }).inputValue(), '28 Hz')
  await page.keyboard.type('30')
  await page.keyboard.press('Enter')
  await on('f6: 30 Hz')
  await number('F6 asked').press('Delete')
  await until('F6 is left out', () => !text('camper-bench').includes('f6'))
  await blank('F6 asked').waitFor()

  // a word, from its menu
  const space = page.getByRole('combobox', { name: 'space that is radiated into' })
  await space.press('Enter')
  await page.getByRole('listbox').waitFor()
  await clean(page, 'an open menu')
  await page.keyboard.press('ArrowDown')
  await page.keyboard.press('Enter')
  await on('space: quarter')

  // a choice that may be a number too
  await page.getByRole('combobox', { name: 'limit of excursion' }).press('Enter')
  await page.getByRole('option', { name: 'a value' }).click()
  await page.keyboard.type('9 mm')
  await page.keyboard.press('Enter')
  await on('excursion: 9 mm')

  // channels, a bridge, an output resistance, and a cable in place of a resistance
  await blank('channels of the amplifier').press('Enter')
  await page.getByRole('textbox', { name: 'channels of the amplifier' }).fill('4')
  await page.keyboard.press('Enter')
  await on('channels: 4')
  await page.getByRole('button', { name: 'not bridged' }).click()
  await on('bridged: true')
  await page.getByText('bridged in pairs').waitFor()
  await page.getByRole('button', { name: 'Do not bridge them' }).click()
  await until('no bridge', () => !text('camper-bench').includes('bridged'))
  await page.getByRole('button', { name: 'describe the cable' }).click()
  await on('cable: {length: 6 m, area: 2.5 mm2}')
  await number('length of the cable').focus()
  await page.keyboard.press('ArrowUp')
  await on('length: 7 m')
  await blank('output resistance of a channel').press('Enter')
  await page.keyboard.type('0.05 ohm')
  await page.keyboard.press('Enter')
  await on('output_resistance: 0.05 ohm')
  await look(page, 'brief-chain')
  await page.getByRole('button', { name: 'Leave the cable out' }).click()
  await until('no cable', () => !text('camper-bench').includes('cable:'))
  await number('output resistance of a channel').press('Delete')
  await until('no output resistance', () => !text('camper-bench').includes('output_resistance'))
  await blank('resistance of source and wire').waitFor()
  await number('channels of the amplifier').press('Delete')
  await until('no channels', () => !text('camper-bench').includes('channels'))

  // loads of the amplifier: another, renamed, one less, none, and again
  await page.getByRole('button', { name: 'another load' }).click()
  await on('8 ohm: 260 W')
  await page.getByRole('button', { name: '8\u2009Ω' }).first().click()
  await page.keyboard.type('6 ohm')
  await page.keyboard.press('Enter')
  await on('6 ohm: 260 W')
  for (const load of ['6', '4', '2']) await page.getByRole('button', { name: `Leave out the rating into ${load}\u2009Ω` }).click()
  await until('no amplifier', () => !text('camper-bench').includes('amplifier'))
  await page.getByText('No amplifier is given').waitFor()
  await page.getByRole('button', { name: 'Give one' }).click()
  await on('amplifier')

  // the drive, the space, the level
  await page.getByRole('combobox', { name: 'Drive of all candidates' }).selectOption('all that the amplifier gives')
  await on('amplifier: full')
  await page.getByRole('button', { name: 'Leave the space out' }).click()
  await until('no space', () => !/^space:/m.test(text('camper-bench')))
  await page.getByRole('button', { name: 'Give one' }).click()
  await until('a space again', () => /^space:/m.test(text('camper-bench')))
  await page.getByRole('button', { name: 'Leave out the level' }).click()
  await until('no level', () => !text('camper-bench').includes('spl:'))

  // what this asks opens into its equation
  const figure = page.getByRole('button', { expanded: false }).filter({ hasText: /L$/ }).first()
  await figure.click()
  await clean(page, 'an opened demand')

  // all comments are still there
  for (const line of before.split('\n').filter((l) => l.includes('#') && !l.includes('amplifier') && !l.includes('rated') && !l.includes('drive:'))) assert.ok(text('camper-bench').includes(line.slice(line.indexOf('#'))), line)
}
