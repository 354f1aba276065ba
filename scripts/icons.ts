// `node scripts/icons.ts`: the page's icon in the sizes that phones ask for. Needs Debian's chromium.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { chromium } from 'playwright-core'

const folder = join(import.meta.dirname, '../src/web/public')
const drawn = readFileSync(join(folder, 'icon.svg'), 'utf8')

const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--headless', '--no-sandbox', '--disable-gpu'],
})
for (const size of [192, 512]) {
  const page = await browser.newPage({ viewport: { width: size, height: size } })
  await page.setContent(`<style>body{margin:0}svg{display:block}</style>${drawn}`)
  await page.screenshot({ path: join(folder, `icon-${size}.png`) })
  await page.close()
}
await browser.close()
