// `npm start` as a process group of its own, killed as a whole without a chance to clean up, and started again on the
// same folder and port.

import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { createServer } from 'node:net'
import type { ServerClock } from './clock.ts'

/** From when to when a server was up, real ms; `until` is `null` for the one that is. */
export type Span = { readonly from: number; until: number | null }

export type Options = {
  readonly port: number
  readonly state: string
  readonly vars: string
  readonly clock: ServerClock
}

const LONGEST_START_MS = 60_000

export class RealServer {
  readonly url: string
  /** Each time it was there to be asked. */
  readonly up: Span[] = []
  /** All that it printed, over all starts. */
  printed = ''
  readonly #options: Options
  #child: ChildProcess | null = null

  constructor(options: Options) {
    this.#options = options
    this.url = `http://127.0.0.1:${options.port}`
  }

  get isUp(): boolean {
    return this.up.at(-1)?.until === null
  }

  /** Resolves to whether it came up; not if it was killed meanwhile. Throws when it failed by itself. */
  async start(): Promise<{
    readonly came: boolean
    readonly startedAt: number
    readonly from: number
  }> {
    const { port, state, vars, clock } = this.#options
    const startedAt = Date.now()
    const from = clock.nextFrom()
    const child = spawn(
      process.execPath,
      [
        'scripts/start.ts',
        '--port',
        String(port),
        '--state',
        state,
        '--vars',
        vars,
        '--allow-local',
        '--clock',
        new Date(from).toISOString(),
        '--rate',
        String(clock.rate),
      ],
      { detached: true, stdio: ['ignore', 'pipe', 'pipe'] },
    )
    this.#child = child
    let printed = ''
    const keep = (data: unknown) => {
      printed += String(data)
      this.printed += String(data)
    }
    child.stdout.on('data', keep)
    child.stderr.on('data', keep)
    const came = await new Promise<boolean>((resolve, reject) => {
      const late = setTimeout(
        () => reject(new Error(`the server did not come up:\n${printed}`)),
        LONGEST_START_MS,
      )
      child.stdout.on('data', () => /Open http/.test(printed) && resolve(true))
      child.once('exit', (code, signal) => {
        clearTimeout(late)
        if (signal === 'SIGKILL') resolve(false)
        else reject(new Error(`the server stopped with ${code ?? signal}:\n${printed}`))
      })
    })
    if (came && this.#child === child) this.up.push({ from: Date.now(), until: null })
    return { came: came && this.isUp, startedAt, from }
  }

  /** The whole group at once, the platform's runtime included. Whether there was one to kill. */
  kill(): boolean {
    const child = this.#child
    if (child?.pid === undefined) return false
    this.#child = null
    process.kill(-child.pid, 'SIGKILL')
    const last = this.up.at(-1)
    if (last !== undefined) last.until ??= Date.now()
    this.#gone = goneFrom(child, this.#options.port)
    return true
  }

  /** Resolves once nothing of it is left, and its files lie still. */
  async gone(): Promise<void> {
    await this.#gone
  }

  #gone: Promise<void> = Promise.resolve()
}

async function goneFrom(child: ChildProcess, port: number): Promise<void> {
  if (child.exitCode === null && child.signalCode === null) await once(child, 'exit')
  while (!(await isFree(port))) await new Promise((resolve) => setTimeout(resolve, 10))
}

const isFree = (port: number): Promise<boolean> =>
  new Promise((free) => {
    const probe = createServer()
    probe.once('error', () => free(false))
    probe.listen(port, '127.0.0.1', () => probe.close(() => free(true)))
  })

/** One below those that the system gives to whoever asks for any: it has to be free again after each kill. */
export async function quietPort(): Promise<number> {
  for (;;) {
    const port = 20_000 + Math.floor(Math.random() * 12_000)
    if (await isFree(port)) return port
  }
}
