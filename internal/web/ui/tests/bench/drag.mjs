// From an input event to the painted plot: drags two numbers of the camper bench by
// many steps in a real browser and times each, a tuning, which changes one candidate,
// and the drive, which changes all; then the first paint and the size of the page. Usage: node drag.mjs BINARY [STEPS]
import { spawn } from 'node:child_process'
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { launch } from './browser.mjs'

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

let browser
let failed = false

/** The processor time of the server so far, ms; NaN where the system does not tell. */
function processor() {
  try {
    const fields = readFileSync(`/proc/${server.pid}/stat`, 'utf8').replace(/^.*\) /, '').split(' ')
    return 10 * (Number(fields[11]) + Number(fields[12])) // user and system, in ticks of 10 ms
  } catch {
    return Number.NaN
  }
}

/** How many steps one drag has; then it is let go and saved, as a person does. */
const leg = 100

/**
 * drag moves a number by as many steps as are asked, each to a value that it never had,
 * so that neither the page nor the server has seen it before. Timed in the page: from
 * the pointer's event to the frame after the last strip has drawn what the event brought.
 * A step begins as soon as the last is there, and the page alone tells that it is: while
 * it is under way nothing is asked of the browser.
 */
async function drag(path, fine) {
  const page = await browser.open(1440, 900)
  let stepped
  await page.calls('stepped', () => stepped?.())
  await page.go(`${base}s/camper-bench/loadings`)
  await page.until((path) => document.querySelector(`[data-path="${path}"]`) !== null, path)
  await page.run((path) => {
    const number = document.querySelector(`[data-path="${path}"]`)
    window.steps = []
    let begun = 0
    for (const told of ['pointerrawupdate', 'pointermove']) addEventListener(told, (e) => { begun ||= window.timed ? e.timeStamp : 0 }, true)
    let waiting = false
    const mark = performance.mark.bind(performance)
    performance.mark = (name, ...rest) => {
      if (name === 'bw-painted' && begun && !waiting) {
        waiting = true
        requestAnimationFrame(() => setTimeout(() => {
          window.steps.push([performance.now() - begun, number.getAttribute('aria-valuenow')])
          waiting = false
          begun = 0
          window.stepped('')
        }))
      }
      return mark(name, ...rest)
    }
  }, path)
  const out = { times: [], took: [], trips: [], values: [] }
  for (let left = Number(count); left > 0; left -= leg) {
    const [x, y] = await page.run((path) => {
      const number = document.querySelector(`[data-path="${path}"]`)
      number.scrollIntoView({ block: 'center' })
      const box = number.getBoundingClientRect()
      return [box.x + 4, box.y + box.height / 2]
    }, path)
    await page.mouse('mouseMoved', x, y)
    await page.mouse('mousePressed', x, y, { down: true, fine })
    await page.run(() => { window.steps = []; window.timed = true; performance.clearMeasures('bw-answer') })
    for (let k = 1; k <= Math.min(leg, left); k++) {
      let gone
      const there = new Promise((done) => { stepped = done; gone = setTimeout(done, 1000) })
      await page.mouse('mouseMoved', x + 4 * (k + 1), y, { down: true, fine })
      await there
      clearTimeout(gone)
    }
    const seen = await page.run(() => {
      window.timed = false
      performance.clearResourceTimings()
      return { steps: window.steps, answers: performance.getEntriesByName('bw-answer').map((e) => [e.detail, e.duration]) }
    })
    out.times.push(...seen.steps.map(([time]) => time))
    out.values.push(...seen.steps.map(([, value]) => value))
    out.took.push(...seen.answers.map(([timing]) => Number(/dur=([\d.]+)/.exec(timing)?.[1])))
    out.trips.push(...seen.answers.map(([, trip]) => trip))
    await page.mouse('mouseReleased', x + 4 * (leg + 1), y, { fine })
    const status = await page.until(() => performance.getEntriesByType('resource').find((e) => e.name.endsWith('/edit'))?.responseStatus)
    if (status !== 200) throw new Error(`${path} was not saved: ${status}`)
    await new Promise((done) => setTimeout(done, 300))
  }
  await page.close()
  return out
}

/** How often the page is opened, and how long a window stands before, ms: a browser makes its own parts of a new one for about a second. */
const openings = 9
const settled = 1500

/**
 * opened opens the page in a window that stands, without anything kept of it: when the
 * first curves are drawn, and when the browser says that they are on the screen (Largest
 * Contentful Paint: where the page comes with its study nothing is shown before them).
 */
async function opened() {
  const page = await browser.open(1440, 900)
  await new Promise((done) => setTimeout(done, settled))
  await page.go(`${base}s/camper-bench/loadings`)
  await page.until(() => document.querySelector('.ledger') !== null)
  await new Promise((done) => setTimeout(done, 500))
  const seen = await page.run(async () => {
    const shown = await new Promise((done) => new PerformanceObserver((list) => done(list.getEntries().map((e) => e.startTime))).observe({ type: 'largest-contentful-paint', buffered: true }))
    const drawn = performance.getEntriesByName('bw-painted')[0].startTime
    const asked = performance.getEntriesByType('resource').find((e) => e.name.endsWith('/view'))
    return { drawn, shown: shown.find((t) => t > drawn) ?? null, alone: !!asked && asked.startTime < drawn }
  })
  await page.close()
  return { ...seen, shown: seen.shown ?? Number.POSITIVE_INFINITY }
}

try {
  browser = await launch()
  const firsts = []
  for (let k = 0; k < openings; k++) firsts.push(await opened())
  const drawn = firsts.map((f) => f.drawn)
  const shown = firsts.map((f) => f.shown)
  line('first curves drawn', drawn)
  line('  and on the screen', shown)
  const alone = firsts.filter((f) => f.alone).length
  if (alone > 0) console.log(`  ${alone} of them came without their study, which was not there in time`)

  const moved = []
  for (const [what, path, fine] of [
    ['a tuning: one candidate changes', 'candidates.tuned.enclosure.tuning', true],
    ['the drive: all six change', 'drive.power', false],
  ]) {
    const before = processor()
    const m = await drag(path, fine)
    const worked = (processor() - before) / m.times.length
    console.log(`${what} (${new Set(m.values).size} different values)`)
    line('  input event to painted plot', m.times)
    line('    of which the request', m.trips)
    line('    of which the server', m.took)
    if (!Number.isNaN(worked)) console.log(`${'  processor time of the server'.padEnd(34)} ${worked.toFixed(1)} ms a step, with what is saved when a number is let go`)
    moved.push([what, m])
  }
  const dist = join(root, 'internal/web/ui/dist')
  const files = [join(dist, 'index.html'), ...readdirSync(join(dist, 'assets')).map((f) => join(dist, 'assets', f))]
  const size = files.reduce((n, f) => n + gzipSync(readFileSync(f), { level: 9 }).length, 0)
  console.log(`${'page, compressed'.padEnd(34)} ${(size / 1000).toFixed(1)} kB in ${files.length} files`)
  const bound = (what, ok) => {
    console.log(`${what.padEnd(34)} ${ok ? 'held' : 'NOT held'}`)
    failed ||= !ok
  }
  for (const [what, m] of moved) {
    console.log(what)
    bound('  every value another', new Set(m.values).size === m.values.length && m.values.length >= 0.9 * Number(count))
    bound('  every step painted', m.times.length >= 0.9 * Number(count))
    bound('  50 ms at the 95th percentile', share(m.times, 0.95) <= 50)
    bound('  server 5 ms at the 95th percentile', share(m.took, 0.95) <= 5)
  }
  bound('first paint under 500 ms', share(shown, 0.5) < 500)
  bound('page at most 250 kB', size <= 250_000)
} finally {
  server.kill()
  rmSync(folder, { recursive: true, force: true })
  await browser?.close()
}
process.exitCode = failed ? 1 : 0
