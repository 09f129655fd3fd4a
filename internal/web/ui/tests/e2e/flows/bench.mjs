// A bench for one flow: a folder of its own, the program serving it, a page.
import assert from 'node:assert/strict'
import { spawn } from 'node:child_process'
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = join(dirname(fileURLToPath(import.meta.url)), '../../../../../..')

/** serve starts the program and gives its address. */
export async function serve(binary, folder, listen = '127.0.0.1:0') {
  const child = spawn(binary, ['serve', folder, '--listen', listen], { stdio: ['ignore', 'pipe', 'pipe'] })
  const said = []
  child.stderr.on('data', (d) => said.push(String(d)))
  const address = await new Promise((told, failed) => {
    child.stdout.once('data', (d) => told(String(d).trim()))
    child.once('exit', (code) => failed(new Error(`the server ended with ${code}: ${said.join('')}`)))
  })
  return {
    address,
    end: (signal = 'SIGINT') =>
      new Promise((done) => {
        if (child.exitCode !== null || child.signalCode !== null) done(child.exitCode)
        child.once('exit', done)
        child.kill(signal)
      }),
  }
}

export async function bench(binary, browser, shots) {
  const folder = mkdtempSync(join(tmpdir(), 'bench-'))
  const b = {
    folder,
    assert,
    shots,
    troubles: [],
    expected: [],
    example: (name, as = name) => copyFileSync(join(root, 'examples', `${name}.yaml`), join(folder, `${as}.yaml`)),
    read: (name) => readFileSync(join(folder, `${name}.yaml`), 'utf8'),
    write: (name, text) => writeFileSync(join(folder, `${name}.yaml`), text),
    /** open shows a path of the page. */
    async open(path, { width = 1440, height = 900, theme = 'light', motion = 'no-preference' } = {}) {
      b.server ??= await serve(binary, folder)
      if (b.page) await b.page.context().close()
      const context = await browser.newContext({ viewport: { width, height }, colorScheme: theme, reducedMotion: motion, acceptDownloads: true })
      b.page = await context.newPage()
      b.page.setDefaultTimeout(8000)
      b.page.on('pageerror', (e) => b.troubles.push(`error of the page: ${e.message}`))
      b.page.on('console', (m) => ['error', 'warning'].includes(m.type()) && b.troubles.push(m.text()))
      await b.page.goto(b.server.address + path.replace(/^\//, ''))
      return b.page
    },
    async restart(signal) {
      const listen = new URL(b.server.address).host
      await b.server.end(signal)
      return async () => {
        b.server = await serve(binary, folder, listen)
      }
    },
    shot: (name) => b.page.screenshot({ path: join(shots, `${name}.png`), fullPage: true }),
    /** value finds an editable value by its path in the study. */
    value: (path) => b.page.locator(`[data-path="${path}"]`).first(),
    async until(what, f, time = 8000) {
      const end = Date.now() + time
      for (;;) {
        const v = await f()
        if (v) return v
        if (Date.now() > end) assert.fail(`not in time: ${what}`)
        await new Promise((go) => setTimeout(go, 40))
      }
    },
    /** sound says that the browser had nothing to complain of but what was expected. */
    sound() {
      const left = b.troubles.filter((t) => !b.expected.some((e) => e.test(t)))
      assert.deepEqual(left, [], 'the browser complains')
    },
    async end() {
      await b.page?.context().close().catch(() => {})
      await b.server?.end('SIGKILL')
      rmSync(folder, { recursive: true, force: true })
    },
  }
  return b
}
