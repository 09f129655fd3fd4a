// All flows, in both of their runners. Usage: node tests/e2e/all.mjs BINARY
import { spawnSync } from 'node:child_process'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const here = dirname(fileURLToPath(import.meta.url))
let failed = false
for (const runner of ['run.mjs', 'flows/run.mjs']) {
  const { status } = spawnSync(process.execPath, [join(here, runner), ...process.argv.slice(2)], { stdio: 'inherit' })
  failed ||= status !== 0
}
process.exitCode = failed ? 1 : 0
