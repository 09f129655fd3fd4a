// The stage for flows that begin with an empty folder and one page at a time.
import assert from 'node:assert/strict'
import { copyFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { examples, shots, until } from './harness.mjs'

export function bench(on) {
  const b = {
    folder: on.folder,
    assert,
    shots,
    until,
    /** what the browser complained of, and what of that the flow is about */
    troubles: on.wrong,
    expected: on.expected,
    get address() {
      return `${on.base}/`
    },
    example: (name, as = name) => copyFileSync(join(examples, `${name}.yaml`), on.file(as)),
    read: on.text,
    write: (name, text) => writeFileSync(on.file(name), text),
    /** open shows a path of the page, in place of the one before. */
    async open(path, { width = 1440, height = 900, theme = 'light', motion = 'no-preference' } = {}) {
      if (b.page) await b.page.context().close()
      b.page = await on.open(path, { viewport: { width, height }, colorScheme: theme, reducedMotion: motion })
      return b.page
    },
    /** restart ends the server; what it gives starts it again. */
    async restart(signal = 'SIGINT') {
      await on.down(signal)
      return () => on.up()
    },
    /** clean says what axe finds on the page as it is. */
    clean: (where) => on.clean(b.page, where),
    /** look takes pictures of it at both widths and in both themes, with axe on each. */
    look: (name) => on.look(b.page, name),
    shot: (name) => b.page.screenshot({ path: join(shots, `${name}.png`), fullPage: true }),
    /** value finds an editable value by its path in the study. */
    value: (path) => b.page.locator(`[data-path="${path}"]`).first(),
  }
  return b
}
