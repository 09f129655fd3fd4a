// Runs the flows of the page in a real browser against a server binary:
//   node tests/e2e/all.mjs BINARY [NAME…]
// A name is that of a file (text for text.flow.mjs), or part of the name of one of the
// flows in it. Each flow has a folder and a server of its own. Pictures are in
// tests/e2e/shots, for a person to look at.
import { mkdirSync, readdirSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { chromium } from 'playwright-core'
import { bench } from './bench.mjs'
import { shots, stage } from './harness.mjs'

const here = dirname(fileURLToPath(import.meta.url))
const [binary, ...only] = process.argv.slice(2)
if (!binary) {
  console.error('usage: node tests/e2e/all.mjs BINARY [NAME…]')
  process.exit(2)
}
/** all are the flows that are asked for: a file is one, or has several by name. */
async function all() {
  const out = []
  for (const file of readdirSync(here).filter((f) => f.endsWith('.flow.mjs')).sort()) {
    const flow = await import(pathToFileURL(resolve(here, file)).href)
    const of = file.replace('.flow.mjs', '')
    const asked = (name) => only.length === 0 || only.some((o) => o === of || name.includes(o))
    if (typeof flow.default === 'function') {
      if (asked('')) out.push({ title: of, run: flow.default, options: { expected: [/Failed to load resource|ERR_CONNECTION/], ...flow.options } }) // a refused or failed request is what some of them are about
    } else
      for (const [name, run] of Object.entries(flow.default))
        if (asked(name)) out.push({ title: `${of}: ${name}`, run: (on) => run(bench(on)), options: { empty: true, reducedMotion: 'no-preference' } })
  }
  return out
}

const flows = await all()
if (flows.length === 0) {
  console.error(`no flow is called ${only.join(' or ')}`)
  process.exit(2)
}
mkdirSync(shots, { recursive: true })
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync', '--disable-dev-shm-usage'] })
const failed = []
for (const { title, run, options } of flows) {
  const begun = performance.now()
  const on = await stage(browser, resolve(binary), title, options)
  let fault
  try {
    await run(on)
    on.sound()
  } catch (e) {
    fault = e
    await on.failed()
  }
  await on.close()
  if (fault) failed.push(title)
  console.log(`${fault ? 'FAIL' : 'ok  '} ${title} (${((performance.now() - begun) / 1000).toFixed(1)} s)`)
  if (fault) console.log(String(fault.stack ?? fault).replace(/^/gm, '      '))
}
await browser.close()
console.log(failed.length === 0 ? `${flows.length} flows hold` : `${failed.length} of ${flows.length} flows fail: ${failed.join('; ')}`)
process.exit(failed.length === 0 ? 0 : 1)
