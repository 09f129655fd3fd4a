// What the server tells of changes does not come, and comes again; an edit that a save
// came before; a token that holds over a restart, and one that does not.
import assert from 'node:assert/strict'
import { spawn } from 'node:child_process'
import { closeSync, ftruncateSync, openSync, renameSync, writeFileSync, writeSync } from 'node:fs'
import { Agent, get } from 'node:http'
import { until } from './harness.mjs'

export default async function flow({ open, look, clean, text, file, base, folder }) {
  // all the streams that the server gives are taken
  const agent = new Agent({ keepAlive: false })
  const streams = []
  for (let k = 0; k < 64; k++)
    await new Promise((opened, refused) => {
      const r = get(`${base}/api/events`, { agent }, (a) => {
        a.resume()
        if (a.statusCode === 200) opened()
        else refused(new Error(`stream ${k}: ${a.statusCode}`))
      })
      r.on('error', () => undefined)
      streams.push(r)
    })
  const page = await open('/s/camper-bench/brief')
  const width = page.getByRole('spinbutton', { name: 'width of the space' })
  const deaf = page.getByRole('alert').filter({ hasText: 'does not follow changes of the file: too many pages are open' })
  await deaf.waitFor()
  await look(page, 'deaf')
  await width.press('Enter')
  await page.keyboard.type('710 mm')
  await page.keyboard.press('Enter')
  await until('it can be worked all the same', () => text('camper-bench').includes('width: 710 mm'))
  await deaf.waitFor() // an answer does not make it follow
  assert.equal(await page.getByRole('status').innerText(), 'does not follow the file')
  const outside = (was, is) => {
    writeFileSync(`${file('camper-bench')}.tmp`, text('camper-bench').replace(was, is))
    renameSync(`${file('camper-bench')}.tmp`, file('camper-bench'))
  }
  outside('width: 710 mm', 'width: 720 mm')
  for (const s of streams) s.destroy()
  await until('it follows again, and shows what it missed', async () => (await width.innerText()) === '720\u2009mm' && (await deaf.count()) === 0)

  // an editor has the file open while the page saves, and writes into it after
  const editor = openSync(file('camper-bench'), 'r+')
  const theirs = text('camper-bench').replace('depth: 330 mm', 'depth: 350 mm')
  await width.press('Enter')
  await page.keyboard.type('730 mm')
  await page.keyboard.press('Enter')
  await until('the page’s edit is saved', () => text('camper-bench').includes('width: 730 mm'))
  ftruncateSync(editor)
  writeSync(editor, theirs, 0)
  closeSync(editor)
  const panel = page.getByRole('alert').filter({ hasText: 'Another program wrote into the file just as it was being saved' })
  await panel.waitFor()
  await panel.getByText('depth: 350 mm', { exact: false }).first().waitFor()
  await look(page, 'overtaken')
  await panel.getByRole('button', { name: 'Take the other program’s' }).click()
  await until('it is in the file', () => text('camper-bench') === theirs)
  await until('the panel is gone', async () => (await panel.count()) === 0)
  await clean(page, 'after the other program’s edit was taken')

  // a server that asks for a token comes back, and the page with it
  const start = (listen, ...more) =>
    new Promise((started, failed) => {
      const child = spawn(process.argv[2], ['serve', folder, '--listen', listen, ...more], { stdio: ['ignore', 'pipe', 'pipe'] })
      child.once('error', failed)
      child.stdout.once('data', (d) => started({ child, address: String(d).trim() }))
    })
  const end = (s) =>
    new Promise((ended) => {
      s.child.once('exit', ended)
      s.child.kill('SIGTERM')
    })
  let server = await start('127.0.0.1:0', '--private')
  try {
    const guarded = await page.context().newPage()
    await guarded.goto(server.address)
    await guarded.getByRole('link', { name: 'Camper bench' }).click()
    await guarded.locator('[data-candidate]').first().waitFor()
    const host = new URL(server.address).host
    const away = guarded.getByRole('alert').filter({ hasText: 'The server does not answer' })
    await end(server)
    await away.waitFor()
    server = await start(host, '--private')
    await until('the page goes on by itself', async () => (await guarded.getByRole('alert').count()) === 0)

    // with another token it says what is asked for
    await end(server)
    await away.waitFor()
    server = await start(host, '--token', 'heron-merlin-wren-plover')
    await guarded.getByRole('alert').filter({ hasText: 'this server asks for a token; open the address that it printed' }).first().waitFor()
    await guarded.close()
  } finally {
    await end(server)
  }
}
