// The worker as it is deployed: its size, and how long a start on this machine takes to the first answer.

import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { gzipSync } from 'node:zlib'
import { serve } from '../serve.ts'
import { daysInput, pastDays } from './days.ts'
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
    const planned = await plansInRuntime(server.url)
    await server.stop()
    return [
      { what, result: `${inTime(firstUs)}, status ${first.status}` },
      { what: 'the next answer of the same page', result: inTime(nextUs) },
      ...planned,
    ]
  } catch (error) {
    return [{ what, result: `skipped: ${String(error).split('\n')[0]}` }]
  }
}

/**
 * What a plan from past days takes of the runtime beyond one from a steady load: a clock inside a request stands still
 * while it computes, so the fastest of many answers are compared from outside.
 */
async function plansInRuntime(url: string): Promise<Row[]> {
  const plain = await fastest(url, { load: { kw: 0.8 } })
  const rows: Row[] = []
  for (const count of [60, 139]) {
    const days = pastDays.slice(0, count).map(({ day, kwh }) => ({
      date: new Date(day * 86_400_000).toISOString().slice(0, 10),
      kwh,
    }))
    const asked = { load: { days }, timeZone: 'UTC', confidence: 0.9, maxReadings: 2 }
    const fresh = await fastest(url, asked)
    rows.push({
      what: `in the runtime: calibrated plan over ${count} days, beyond a plain plan's ${inTime(plain)}`,
      result: inTime(fresh - plain),
    })
    const calibrated = { days: count, coveredOn: count, stage: 0.92 }
    rows.push({
      what: '  the same once it is calibrated',
      result: inTime((await fastest(url, { ...asked, calibrated })) - plain),
    })
    rows.push({
      what: '  the same days without a reading',
      result: inTime((await fastest(url, { ...asked, maxReadings: 0 })) - plain),
    })
  }
  return rows
}

async function fastest(url: string, fields: Record<string, unknown>): Promise<number> {
  const { now, reading, events } = daysInput(1, null)
  const iso = (ms: number) => new Date(ms).toISOString()
  const body = JSON.stringify({
    now: iso(now),
    battery: { capacityKwh: 9.6, maxDischargeKw: 3.6 },
    reading: { at: iso(reading.at), socPct: reading.socPct },
    events: events.map(({ start, end }) => ({ start: iso(start), end: iso(end) })),
    ...fields,
  })
  let least = Infinity
  for (let i = 0; i < 40; i++) {
    const began = performance.now()
    const answer = await fetch(`${url}/api/plan`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body,
    })
    await answer.text()
    if (answer.status !== 200) throw new Error(`a plan was answered with ${answer.status}`)
    least = Math.min(least, (performance.now() - began) * 1000)
  }
  return least
}
