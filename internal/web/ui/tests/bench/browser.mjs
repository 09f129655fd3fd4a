// A browser as a bench wants it: told what to do over a pipe (the browser's own DevTools
// protocol) and listened to for nothing else. What drives the tests asks for every message
// of every socket, and to write 100 kB of each answer down, send it on and read it took
// more processor time than the server took to make it.
import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

const flags = [
  '--headless', '--remote-debugging-pipe', '--no-sandbox', '--disable-dev-shm-usage', '--disable-background-networking', '--disable-field-trial-config',
  '--disable-background-timer-throttling', '--disable-backgrounding-occluded-windows', '--disable-renderer-backgrounding', '--disable-breakpad', '--disable-component-update',
  '--disable-default-apps', '--disable-extensions', '--disable-sync', '--no-first-run', '--no-startup-window', '--mute-audio', '--hide-scrollbars', '--force-color-profile=srgb',
]
const patience = 30_000 // ms
const farewell = 5_000 // ms that a browser has to end
const waits = (ms) => new Promise((done) => setTimeout(done, ms))

/** launch starts a browser that keeps nothing; `open` gives a new window, `close` ends it. */
export async function launch(binary = process.env.CHROMIUM ?? '/usr/bin/chromium') {
  const profile = mkdtempSync(join(tmpdir(), 'browser-'))
  const child = spawn(binary, [...flags, `--user-data-dir=${profile}`], { stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'] })
  const ended = new Promise((done) => child.once('exit', done).once('error', done))
  const [to, from] = [child.stdio[3], child.stdio[4]]
  const asked = new Map() // what was asked and not yet answered, by number
  const heard = new Map() // who hears what a page calls, by its session
  let number = 0
  let rest = ''
  from.setEncoding('utf8')
  from.on('data', (data) => {
    const parts = (rest + data).split('\0')
    rest = parts.pop()
    for (const m of parts.map((p) => JSON.parse(p))) {
      if (m.method === 'Runtime.bindingCalled') heard.get(m.sessionId)?.()
      asked.get(m.id)?.(m)
    }
  })
  let over = ''
  const lose = (why) => {
    over ||= `the browser has ended${why?.message ? `: ${why.message}` : ''}`
    for (const answer of asked.values()) answer({ error: { message: over } })
  }
  child.on('error', lose)
  from.on('close', lose)
  to.on('error', lose)

  /** ask sends a command and gives its result. */
  function ask(method, params = {}, sessionId) {
    const id = ++number
    return new Promise((done, fail) => {
      if (over) {
        fail(new Error(`${method}: ${over}`))
        return
      }
      const late = setTimeout(() => asked.get(id)({ error: { message: `no answer within ${patience / 1000} s` } }), patience)
      asked.set(id, (m) => {
        clearTimeout(late)
        asked.delete(id)
        if (m.error) fail(new Error(`${method}: ${m.error.message}`))
        else done(m.result)
      })
      to.write(`${JSON.stringify({ id, method, params, sessionId })}\0`)
    })
  }

  /** open gives a new window of a browser that knows no page. */
  async function open(width, height) {
    const { browserContextId } = await ask('Target.createBrowserContext', { disposeOnDetach: true })
    const { targetId } = await ask('Target.createTarget', { url: 'about:blank', browserContextId })
    const { sessionId } = await ask('Target.attachToTarget', { targetId, flatten: true })
    const tell = (method, params) => ask(method, params, sessionId)
    await tell('Emulation.setDeviceMetricsOverride', { width, height, deviceScaleFactor: 1, mobile: false })

    /** run calls a function in the page, with values that JSON can carry, and gives what comes of it. */
    async function run(fn, ...values) {
      const expression = `(${fn})(...${JSON.stringify(values)})`
      const { result, exceptionDetails: wrong } = await tell('Runtime.evaluate', { expression, returnByValue: true, awaitPromise: true })
      if (wrong) throw new Error(wrong.exception?.description ?? wrong.text)
      return result.value
    }

    return {
      run,
      async go(url) {
        const { errorText } = await tell('Page.navigate', { url })
        if (errorText) throw new Error(`${url}: ${errorText}`)
      },
      /** until waits for a function of the page to give something, and gives that. */
      async until(fn, ...values) {
        for (const end = Date.now() + patience; Date.now() < end; await waits(50)) {
          const value = await run(fn, ...values)
          if (value) return value
        }
        throw new Error(`nothing came of ${fn}`)
      },
      /** calls lets the page call a function of ours by a name. */
      async calls(name, fn) {
        heard.set(sessionId, fn)
        await tell('Runtime.enable') // or no call is told
        await tell('Runtime.addBinding', { name })
      },
      /** mouse is a real event of the pointer: mouseMoved, mousePressed or mouseReleased. */
      mouse: (type, x, y, { down = false, fine = false } = {}) =>
        tell('Input.dispatchMouseEvent', {
          type, x, y, modifiers: fine ? 8 : 0, button: type === 'mouseMoved' && !down ? 'none' : 'left', buttons: down ? 1 : 0, clickCount: type === 'mouseMoved' ? 0 : 1,
        }),
      async close() {
        heard.delete(sessionId)
        await ask('Target.disposeBrowserContext', { browserContextId })
      },
    }
  }

  return {
    open,
    async close() {
      await ask('Browser.close').catch(() => {})
      const late = setTimeout(() => child.kill('SIGKILL'), farewell)
      await ended
      clearTimeout(late)
      rmSync(profile, { recursive: true, force: true, maxRetries: 5 })
    },
  }
}
