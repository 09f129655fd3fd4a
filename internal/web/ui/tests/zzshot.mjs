import { chromium } from 'playwright-core'
const b = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox'] })
for (const [name, path, w, h, scheme, full] of JSON.parse(process.argv[2])) {
  const p = await b.newPage({ viewport: { width: w, height: h }, colorScheme: scheme })
  await p.goto('http://127.0.0.1:8477' + path)
  await p.waitForTimeout(2500)
  await p.screenshot({ path: `/tmp/look/${name}.png`, fullPage: !!full })
  await p.close()
}
await b.close()
