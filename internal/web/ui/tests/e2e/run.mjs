// Runs the flows of the page against a server binary:
//   node tests/e2e/run.mjs BINARY [FLOW ...]
// Each flow has a folder and a server of its own. Pictures are in tests/e2e/shots.
import { readdirSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { chromium } from 'playwright-core'
import { stage } from './harness.mjs'

const here = dirname(fileURLToPath(import.meta.url))
const [binary, ...only] = process.argv.slice(2)
if (!binary) {
  console.error('usage: node tests/e2e/run.mjs BINARY [FLOW ...]')
  process.exit(2)
}
const flows = readdirSync(here).filter((f) => f.endsWith('.flow.mjs') && (only.length === 0 || only.includes(f.replace('.flow.mjs', '')))).sort()
if (flows.length === 0) {
  console.error(`no flow is called ${only.join(' or ')}`)
  process.exit(2)
}

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync', '--disable-dev-shm-usage'] })
let failed = 0
for (const file of flows) {
  const flow = await import(pathToFileURL(resolve(here, file)).href)
  const begun = performance.now()
  const on = await stage(browser, resolve(binary), file, flow.options)
  let fault
  try {
    await flow.default(on)
  } catch (e) {
    fault = e
    await on.failed()
  }
  try {
    await on.close()
  } catch (e) {
    fault ??= e
  }
  if (fault) failed++
  console.log(`${fault ? 'FAIL' : 'ok  '} ${file.replace('.flow.mjs', '')} (${((performance.now() - begun) / 1000).toFixed(1)} s)`)
  if (fault) console.log(fault.stack ?? fault)
}
await browser.close()
console.log(failed === 0 ? `${flows.length} flows hold` : `${failed} of ${flows.length} flows fail`)
process.exit(failed === 0 ? 0 : 1)
