// The worker as it is deployed: its size, and how long a start on this machine takes to the first answer.

import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { gzipSync } from 'node:zlib'
import { serve } from '../serve.ts'
import { type Row, inTime } from './table.ts'

const kb = (bytes: number) => `${(bytes / 1000).toFixed(0)} kB`

export async function benchWorker(): Promise<Row[]> {
  const folder = mkdtempSync(join(tmpdir(), 'holdbell-bench-'))
  try {
    return [size(folder), ...(await start(folder))]
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

function size(folder: string): Row {
  const what = 'worker, minified (gzipped)'
  const wrangler = spawnSync(`wrangler deploy --dry-run --minify --outdir "${folder}"`, {
    shell: true,
    encoding: 'utf8',
    env: { ...process.env, WRANGLER_SEND_METRICS: 'false' },
  })
  if (wrangler.status !== 0) return { what, result: 'skipped: it does not build' }
  const code = readFileSync(join(folder, 'index.js'))
  return { what, result: `${kb(code.length)} (${kb(gzipSync(code).length)})` }
}

async function start(folder: string): Promise<Row[]> {
  const what = 'start of the runtime, bundling included, to the first answer'
  const began = performance.now()
  try {
    const server = await serve({
      port: 0,
      state: folder,
      allowLocal: false,
      rehearse: false,
      clock: null,
    })
    const first = await fetch(server.url)
    await first.text()
    const firstUs = (performance.now() - began) * 1000
    const again = performance.now()
    await (await fetch(server.url)).text()
    const nextUs = (performance.now() - again) * 1000
    await server.stop()
    return [
      { what, result: `${inTime(firstUs)}, status ${first.status}` },
      { what: 'the next answer of the same page', result: inTime(nextUs) },
    ]
  } catch (error) {
    return [{ what, result: `skipped: ${String(error).split('\n')[0]}` }]
  }
}
