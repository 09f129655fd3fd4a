const path = 'candidates.tuned.enclosure.tuning'

export default {
  async 'what an editor changes shows at once'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    await b.value(path).waitFor()
    b.write('camper-bench', b.read('camper-bench').replace('tuning: 29 Hz', 'tuning: 33 Hz # by hand'))
    await b.until('shown', async () => /33/.test(await b.value(path).innerText()))
  },

  async 'edits of the page and of an editor in different places are both kept'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    await b.value(path).focus()
    b.write('camper-bench', b.read('camper-bench').replace('volume: 40 L}', 'volume: 44 L} # by hand'))
    await b.page.keyboard.press('+')
    await b.until('both', () => /volume: 44 L\} # by hand/.test(b.read('camper-bench')) && /tuning: 30 Hz/.test(b.read('camper-bench')))
  },

  async 'edits that meet are both shown, and the person chooses'(b) {
    b.example('camper-bench')
    b.expected.push(/409/)
    for (const keep of ['mine', 'theirs']) {
      b.example('camper-bench')
      await b.open('/s/camper-bench/loadings')
      await b.value(path).focus()
      await b.page.keyboard.press('Enter')
      await b.page.keyboard.press('Control+A')
      await b.page.keyboard.type('35 Hz')
      // The page is told of the change within moments: it must come between.
      await b.page.route('**/api/studies/*/view', (r) => r.abort())
      b.expected.push(/ERR_FAILED/)
      b.write('camper-bench', b.read('camper-bench').replace('tuning: 29 Hz', 'tuning: 26 Hz'))
      await b.page.keyboard.press('Enter')
      const panel = b.page.locator('.clash')
      await panel.waitFor()
      await b.page.unroute('**/api/studies/*/view')
      b.assert.match(await panel.innerText(), /26 Hz/)
      b.assert.match(await panel.innerText(), /35 Hz/)
      if (keep === 'mine') await b.shot('clash')
      await b.page.getByRole('button', { name: `Keep ${keep}` }).click()
      await panel.waitFor({ state: 'detached' })
      const wanted = keep === 'mine' ? /tuning: 35 Hz/ : /tuning: 26 Hz/
      await b.until(keep, () => wanted.test(b.read('camper-bench')))
    }
  },

  async 'the page survives a restart of the server and says so'(b) {
    b.example('camper-bench')
    b.expected.push(/ERR_CONNECTION_REFUSED|Failed to fetch|ERR_INCOMPLETE_CHUNKED_ENCODING|ERR_CONNECTION_RESET/)
    await b.open('/s/camper-bench/loadings')
    await b.value(path).waitFor()
    const again = await b.restart('SIGKILL')
    await b.page.getByText(/The server does not answer/).waitFor()
    b.assert.ok(await b.page.locator('.strip canvas').count(), 'what was there stays')
    await b.shot('server-away')
    await again()
    await b.page.getByText(/The server does not answer/).waitFor({ state: 'detached', timeout: 15000 })
    await b.value(path).focus()
    await b.page.keyboard.press('+')
    await b.until('it works again', () => /tuning: 30 Hz/.test(b.read('camper-bench')))
  },

  async 'undo goes back over a restart'(b) {
    b.example('camper-bench')
    const text = b.read('camper-bench')
    await b.open('/s/camper-bench/loadings')
    await b.value(path).focus()
    await b.page.keyboard.press('+')
    await b.until('changed', () => /tuning: 30 Hz/.test(b.read('camper-bench')))
    await (await b.restart('SIGINT'))()
    b.expected.push(/ERR_CONNECTION_REFUSED|Failed to fetch|ERR_INCOMPLETE_CHUNKED_ENCODING|ERR_CONNECTION_RESET/)
    await b.open('/s/camper-bench/loadings')
    await b.page.getByRole('button', { name: 'Undo' }).click()
    await b.until('as it was', () => b.read('camper-bench') === text)
  },
}
