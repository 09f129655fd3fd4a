// What every flow of the page stands on: a server of its own on a folder of its
// own, a browser, screenshots at both widths and in both themes, and axe on each.
import assert from 'node:assert/strict'
import { spawn } from 'node:child_process'
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const here = dirname(fileURLToPath(import.meta.url))
export const examples = join(here, '../../../../../examples')
export const shots = join(here, 'shots')
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** How long a thing may take to show before a flow fails, ms. It says nothing of how
 * fast the page is (bench/ does): the machine may be busy with other tests. */
export const patience = 15_000

/** serve starts the program on a folder and tells where it listens. */
async function serve(binary, folder, listen) {
  const child = spawn(binary, ['serve', folder, '--listen', listen], { stdio: ['ignore', 'pipe', 'pipe'] })
  let said = ''
  const base = await new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(new Error(`the server did not say where it listens: ${said}`)), 10_000)
    const hear = (data) => {
      said += data
      const m = /http:\/\/[\d.:]+/.exec(said)
      if (m) {
        clearTimeout(late)
        resolve(m[0])
      }
    }
    child.stdout.on('data', hear)
    child.stderr.on('data', hear)
    child.on('exit', (code) => reject(new Error(`the server ended with ${code}: ${said}`)))
  })
  const end = (signal = 'SIGTERM') =>
    new Promise((resolve) => {
      if (child.exitCode !== null || child.signalCode !== null) return resolve()
      child.once('exit', resolve)
      child.kill(signal)
    })
  return { base, end }
}

/** stage is what a flow is given. */
export async function stage(browser, binary, name, { empty = false, reducedMotion = 'reduce', expected = [] } = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'basswright-e2e-'))
  if (!empty) cpSync(examples, folder, { recursive: true, filter: (f) => !f.endsWith('.go') })
  let server = await serve(binary, folder, '127.0.0.1:0')
  /** what the browser complains of; a flow adds to what is expected of it what it is about */
  const wrong = []
  const about = [...expected]
  const contexts = []

  async function open(path, options = {}) {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, colorScheme: 'light', reducedMotion, ...options })
    contexts.push(context)
    const page = await context.newPage()
    page.setDefaultTimeout(patience)
    page.on('pageerror', (e) => wrong.push(`${page.url()}: ${e.message}`))
    page.on('console', (m) => ['error', 'warning'].includes(m.type()) && wrong.push(`${page.url()}: ${m.text()}`))
    await page.goto(server.base + path)
    await page.locator('main').first().waitFor()
    return page
  }

  /** clean says what axe finds on the page as it is. */
  async function clean(page, where) {
    if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(axe)
    const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }))
    const told = found.violations.map((v) => `${v.id}: ${v.help}\n    ${v.nodes.map((n) => n.html.slice(0, 200)).join('\n    ')}`)
    assert.deepEqual(told, [], `axe finds something on ${where}`)
    const scrolls = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
    assert.ok(scrolls <= 0, `${where} is ${scrolls} px too wide for the window`)
  }

  /** look takes the pictures for a person, at both widths and in both themes. */
  async function look(page, picture) {
    mkdirSync(shots, { recursive: true })
    for (const [width, height] of [[1440, 900], [768, 1024]])
      for (const colorScheme of ['light', 'dark']) {
        await page.setViewportSize({ width, height })
        await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' })
        const as = `${picture}-${width}-${colorScheme}`
        await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
        await page.screenshot({ path: join(shots, `${as}.png`), fullPage: true })
        await clean(page, as)
      }
    await page.setViewportSize({ width: 1440, height: 900 })
    await page.emulateMedia({ colorScheme: 'light', reducedMotion: 'reduce' })
  }

  return {
    name,
    folder,
    wrong,
    expected: about,
    open,
    clean,
    look,
    get base() {
      return server.base
    },
    file: (study) => join(folder, `${study}.yaml`),
    text: (study) => readFileSync(join(folder, `${study}.yaml`), 'utf8'),
    /** down ends the server; up starts it again where it was. */
    down: (signal) => server.end(signal),
    async up() {
      server = await serve(binary, folder, server.base.replace('http://', ''))
    },
    /** failed leaves a picture of what there was to see. */
    async failed() {
      mkdirSync(shots, { recursive: true })
      for (const [i, page] of contexts.flatMap((c) => c.pages()).entries()) await page.screenshot({ path: join(shots, `failed-${name.replace(/[^a-z0-9]+/gi, '-')}-${i}.png`) }).catch(() => undefined)
    },
    /** sound says that the browser had nothing to complain of but what the flow is about. */
    sound() {
      assert.deepEqual(wrong.filter((w) => !about.some((e) => e.test(w))), [], 'the browser complains')
    },
    async close() {
      for (const c of contexts) await c.close().catch(() => undefined) // a page may have closed its own
      await server.end('SIGKILL')
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

/** until waits for something outside the page to hold. */
export async function until(what, check, time = patience) {
  const end = Date.now() + time
  for (;;) {
    const held = await check()
    if (held) return held
    if (Date.now() > end) throw new assert.AssertionError({ message: `in ${time} ms it did not come to hold: ${what}` })
    await new Promise((r) => setTimeout(r, 40))
  }
}

/** shows waits for a text on the page. */
export const shows = (page, text) => page.getByText(text).first().waitFor()
/** gone waits for something to leave the page. */
export const gone = (locator) => locator.first().waitFor({ state: 'detached' })
/** saved waits until nothing is under way any more. */
export const saved = (page) => page.getByRole('status').filter({ hasText: /^saved/ }).waitFor()
