import { createRequire } from 'node:module'
import { readFileSync } from 'node:fs'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const pages = ['/', ...['brief', 'drivers', 'loadings', 'text', 'versions', 'share', 'present'].map((s) => `/s/camper-bench/${s}`), '/s/broken/loadings']

export default {
  async 'axe finds nothing on any screen, light and dark'(b) {
    b.example('camper-bench')
    b.example('camper-bench', 'broken')
    b.write('broken', b.read('broken').replace('28 L', '28 apples'))
    const found = []
    for (const theme of ['light', 'dark'])
      for (const page of pages) {
        await b.open(page, { theme })
        await b.page.waitForTimeout(700)
        await b.page.evaluate(axe)
        const { violations } = await b.page.evaluate(() => globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }))
        for (const v of violations) found.push(`${page} ${theme}: ${v.id}: ${v.nodes.slice(0, 3).map((n) => `${n.target.join(' ')} (${n.failureSummary?.split('\n')[1]?.trim()})`).join('; ')}`)
        await b.shot(`axe${page.replaceAll('/', '-')}-${theme}`)
      }
    b.assert.deepEqual(found, [])
  },

  async 'every page of every example opens without an error, at every width'(b) {
    const names = ['camper-bench', 'ferry-quay', 'hayloft', 'mill-loft', 'rope-walk', 'salt-road', 'studio-soffit', 'tower-stair', 'village-hall-riser', 'workshop-stool']
    for (const n of names) b.example(n)
    const sheet = 'fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm'
    const wide = ['owl', 'jay', 'kite', 'rook', 'swift'].map((d) => `  ${d}: {${sheet}}`).join('\n')
    b.write('wide', `study: Wide\nbrief: {limits: {excursion: xmax}}\ndrivers:\n${wide}\ncandidates:\n  one: {group: {driver: owl}, enclosure: {kind: sealed, volume: 9 L}}\n`)
    for (const n of [...names, 'wide'])
      for (const page of ['brief', 'drivers', 'loadings', 'share', 'present']) {
        await b.open(`/s/${n}/${page}`)
        await b.page.waitForTimeout(400)
        for (const width of [1440, 1024, 768]) {
          await b.page.setViewportSize({ width, height: 900 })
          await b.page.waitForTimeout(60)
          b.assert.ok((await b.page.evaluate(() => document.documentElement.scrollWidth - innerWidth)) <= 0, `${n} ${page} at ${width} px runs over its edge`)
        }
      }
    b.assert.deepEqual(b.troubles, [])
  },

  async 'nothing is fetched from outside'(b) {
    b.example('camper-bench')
    await b.open('/s/camper-bench/loadings')
    await b.page.waitForTimeout(500)
    const from = await b.page.evaluate(() => performance.getEntriesByType('resource').map((e) => new URL(e.name).origin))
    b.assert.deepEqual([...new Set(from)], [new URL(b.address).origin])
  },
}
