// A network of parts on the page: its head is its schematic, readable in light and dark,
// and it is compared, taken up in the text and shared like any other candidate.
export default {
  async 'a network is drawn as a schematic and compared like any other'(b) {
    const { assert } = b
    b.example('mill-loft')
    for (const theme of ['light', 'dark']) {
      await b.open('/s/mill-loft/loadings', { theme, height: 1200 })
      const drawn = b.page.locator('svg[role=img]', { has: b.page.locator('title', { hasText: 'three-rooms as a network' }) }).first()
      await drawn.waitFor()
      for (const name of ['cellar', 'hall', 'loft', 'outside', 'hatch', 'slot', 'felt', 'plover-12']) assert.ok(await drawn.locator('text', { hasText: name }).count(), `${name} is not in the schematic`)
      const box = await drawn.boundingBox()
      for (const text of await drawn.locator('text').all()) {
        const at = await text.boundingBox()
        assert.ok(at.x >= box.x - 1 && at.x + at.width <= box.x + box.width + 1, `${await text.textContent()} runs over the schematic’s edge`)
      }
      await b.shot(`network-${theme}`)
    }
    // every size of a part can be changed where it is told, under the part’s own name
    await b.page.getByText('Hatch, port, length').first().waitFor()
    const drawn = b.page.locator('svg[role=img]', { has: b.page.locator('title', { hasText: 'three-rooms as a network' }) }).first()
    const length = b.value('candidates.three-rooms.enclosure.parts[3].port.length')
    await length.scrollIntoViewIfNeeded()
    await length.focus()
    await b.page.keyboard.press('+')
    await b.until('the step is saved', () => /diameter: 160 mm, length: 11[1-9]/.test(b.read('mill-loft')))
    await drawn.locator('text', { hasText: /160 × 11[1-9]/ }).waitFor()
    await b.open('/s/mill-loft/share')
    await b.page.getByRole('combobox').filter({ has: b.page.locator('option[value=schematic]') }).selectOption('schematic')
    await b.page.waitForTimeout(1500)
    await b.shot('network-share')
  },
}
