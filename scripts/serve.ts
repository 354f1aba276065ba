// Starts the worker in the platform's own runtime, for `npm start` and for tests that need a server.

import { join } from 'node:path'
import { unstable_startWorker } from 'wrangler'
import { steadyClock } from '../src/clock.ts'

export type Serving = {
  /** 0: any free one. */
  readonly port: number
  /** The folder of the objects' storage. */
  readonly state: string
  readonly allowLocal: boolean
  readonly rehearse: boolean
  readonly clock: { readonly from: number; readonly rate: number; readonly since: number } | null
  /** What the channels take, as in src/env.ts; mails are written to files. */
  readonly vars?: Readonly<Record<string, string>>
}

export type Server = { readonly url: string; stop(): Promise<void> }

const text = (value: string) => ({ type: 'plain_text' as const, value })

/** Answers when the server does. */
export async function serve({
  port,
  state,
  allowLocal,
  rehearse,
  clock,
  vars = {},
}: Serving): Promise<Server> {
  quieten()
  const worker = await unstable_startWorker({
    config: join(import.meta.dirname, '../wrangler.toml'),
    bindings: {
      ...Object.fromEntries(Object.entries(vars).map(([name, value]) => [name, text(value)])),
      ...('MAIL_FROM' in vars ? { MAIL: { type: 'send_email' } } : {}),
      ...(allowLocal ? { ALLOW_LOCAL: text('yes') } : {}),
      ...(rehearse ? { REHEARSE: text('yes') } : {}),
      ...(clock === null
        ? {}
        : { LOCAL_CLOCK: text(JSON.stringify(steadyClock(clock.from, clock.rate, clock.since))) }),
    },
    dev: {
      persist: state,
      server: { hostname: '127.0.0.1', port },
      watch: false,
      inspector: false,
      logLevel: 'error',
    },
  })
  await worker.ready
  const url = (await worker.url).origin
  return { url, stop: () => worker.dispose() }
}

/** The tools would like to report and to look themselves up; off-line that is only noise. */
function quieten(): void {
  process.env['WRANGLER_SEND_METRICS'] ??= 'false'
  process.env['WRANGLER_LOG'] ??= 'error'
  process.env['CLOUDFLARE_CF_FETCH_ENABLED'] ??= 'false'
}
