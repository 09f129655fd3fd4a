// From an input event to the painted plot: drags a number of the camper bench by
// many steps in a real browser and times each, then the first paint and the size
// of the page. Usage: node drag.mjs BINARY [STEPS]
import { spawn } from 'node:child_process'
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { chromium } from 'playwright-core'

const [binary, count = '500'] = process.argv.slice(2)
if (!binary) {
  console.error('usage: node drag.mjs BINARY [STEPS]')
  process.exit(2)
}
const root = new URL('../../../../../', import.meta.url).pathname
const folder = mkdtempSync(join(tmpdir(), 'drag-'))
cpSync(join(root, 'examples/camper-bench.yaml'), join(folder, 'camper-bench.yaml'))
const server = spawn(binary, ['serve', folder, '--listen', '127.0.0.1:0'], { stdio: ['ignore', 'pipe', 'inherit'] })
const base = await new Promise((told) => server.stdout.once('data', (d) => told(String(d).trim())))

const share = (list, p) => [...list].sort((a, b) => a - b)[Math.min(list.length - 1, Math.floor(p * list.length))]
const line = (name, list) => console.log(`${name.padEnd(34)} median ${share(list, 0.5).toFixed(1)} ms, 95 % ${share(list, 0.95).toFixed(1)} ms, largest ${Math.max(...list).toFixed(1)} ms (${list.length})`)

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox', '--disable-dev-shm-usage', '--disable-background-networking'] })
let failed = false
try {
  const firsts = []
  for (let k = 0; k < 5; k++) {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } })
    await page.goto(`${base}s/camper-bench/loadings`)
    firsts.push(await page.evaluate(() => new Promise((done) => {
      const seen = () => performance.getEntriesByName('bw-painted')[0]
      const look = () => (seen() ? done(seen().startTime) : requestAnimationFrame(look))
      look()
    })))
    await page.close()
  }
  line('first paint with data', firsts)

  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } })
  await page.goto(`${base}s/camper-bench/loadings`)
  const number = page.locator('[data-path="candidates.tuned.enclosure.tuning"]').first()
  await number.waitFor()
  await number.scrollIntoViewIfNeeded()
  const box = await number.boundingBox()
  const [x, y] = [box.x + 4, box.y + box.height / 2]
  // Timed in the page: from the pointer's event to the frame after the last strip has drawn what the event brought.
  await page.evaluate(() => {
    window.times = []
    let begun = 0
    addEventListener('pointermove', (e) => { begun = e.timeStamp }, true)
    let waiting = false
    const mark = performance.mark.bind(performance)
    performance.mark = (name, ...rest) => {
      if (name === 'bw-painted' && begun && !waiting) {
        waiting = true
        const from = begun
        requestAnimationFrame(() => setTimeout(() => {
          waiting = false
          window.times.push(performance.now() - from)
          window.painted?.()
        }))
      }
      return mark(name, ...rest)
    }
  })
  await page.mouse.move(x, y)
  await page.mouse.down()
  for (let k = 1; k <= Number(count); k++) {
    const to = x + 8 + 4 * ((k % 40) + 1)
    await page.evaluate(() => { window.next = new Promise((done) => { window.painted = done; setTimeout(done, 1000) }) })
    await page.mouse.move(to, y)
    await page.evaluate(() => window.next)
  }
  await page.mouse.up()
  const { times, took, trips } = await page.evaluate(() => ({ times: window.times, took: performance.getEntriesByName('bw-answer').slice(1, -1).map((e) => e.detail), trips: performance.getEntriesByName('bw-answer').slice(1, -1).map((e) => e.duration) }))
  line('input event to painted plot', times)
  line('  of which the request', trips)
  line('  of which the server', took)
  const dist = join(root, 'internal/web/ui/dist')
  const files = [join(dist, 'index.html'), ...readdirSync(join(dist, 'assets')).map((f) => join(dist, 'assets', f))]
  const size = files.reduce((n, f) => n + gzipSync(readFileSync(f), { level: 9 }).length, 0)
  console.log(`${'page, compressed'.padEnd(34)} ${(size / 1000).toFixed(1)} kB in ${files.length} files`)
  const bound = (what, ok) => {
    console.log(`${what.padEnd(34)} ${ok ? 'held' : 'NOT held'}`)
    failed ||= !ok
  }
  bound('50 ms at the 95th percentile', share(times, 0.95) <= 50 && times.length >= 0.9 * Number(count))
  bound('server 5 ms at the 95th percentile', share(took, 0.95) <= 5)
  bound('first paint under 500 ms', share(firsts, 0.5) < 500)
  bound('page at most 250 kB', size <= 250_000)
} finally {
  await browser.close()
  server.kill()
  rmSync(folder, { recursive: true, force: true })
}
process.exitCode = failed ? 1 : 0
