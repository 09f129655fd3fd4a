// The flows of Loadings, of files that others change, of Share and Present, and
// the look for barriers, in a real browser against the built program.
// Usage: node tests/e2e/flows/run.mjs BINARY [PART OF A FLOW'S NAME…]
// Pictures go to tests/e2e/shots, for a person to look at.
import { mkdirSync, readdirSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'
import { bench } from './bench.mjs'

const here = dirname(fileURLToPath(import.meta.url))
const [binary, ...only] = process.argv.slice(2)
if (!binary) {
  console.error("usage: node tests/e2e/flows/run.mjs BINARY [PART OF A FLOW'S NAME…]")
  process.exit(2)
}
const shots = join(here, '../shots')
mkdirSync(shots, { recursive: true })

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox', '--disable-dev-shm-usage', '--disable-background-networking', '--no-first-run'] })
let passed = 0
const failed = []
for (const file of readdirSync(here).filter((f) => f !== 'run.mjs' && f !== 'bench.mjs').sort()) {
  const { default: flows } = await import(join(here, file))
  for (const [name, run] of Object.entries(flows)) {
    const title = `${file.replace('.mjs', '')}: ${name}`
    if (only.length > 0 && !only.some((o) => title.includes(o))) continue
    const b = await bench(resolve(binary), browser, shots)
    const begun = Date.now()
    try {
      await run(b)
      b.sound()
      passed++
      console.log(`ok    ${title} (${Date.now() - begun} ms)`)
    } catch (e) {
      failed.push(title)
      console.log(`FAIL  ${title}\n${String(e.stack ?? e).replace(/^/gm, '      ')}`)
      await b.page?.screenshot({ path: join(shots, `failed-${title.replace(/[^a-z0-9]+/gi, '-')}.png`) }).catch(() => {})
    } finally {
      await b.end()
    }
  }
}
await browser.close()
console.log(`\n${passed} flows passed, ${failed.length} failed`)
if (passed === 0 || failed.length > 0) process.exitCode = 1
