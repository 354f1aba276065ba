// `npm start`: the worker on this machine, with real storage in a folder and no account. Options are in
// README.md; the clock's and the addresses' exist on a local run alone.

import { accessSync, constants, mkdirSync, mkdtempSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { serve } from './serve.ts'

const HELP = `npm start -- [options]
  --port N        the port to listen on (8787)
  --state DIR     the folder that keeps the households (.holdbell)
  --rehearse      the demo house's event day in two minutes; kept nowhere
  --clock TIME    set the clock, for example 2027-01-14T12:00:00-04:00
  --rate N        run the clock N times as fast (1)
  --allow-local   let webhooks go to this machine, by http too`

const stop = (sentence: string): never => {
  console.error(`holdbell: ${sentence}`)
  process.exit(1)
}

function options() {
  try {
    return parseArgs({
      options: {
        port: { type: 'string', default: '8787' },
        state: { type: 'string', default: '.holdbell' },
        clock: { type: 'string' },
        rate: { type: 'string', default: '1' },
        'allow-local': { type: 'boolean', default: false },
        rehearse: { type: 'boolean', default: false },
        help: { type: 'boolean', default: false },
      },
    }).values
  } catch (error) {
    return stop(`${(error as Error).message}\n${HELP}`)
  }
}

const isFree = (port: number): Promise<boolean> =>
  new Promise((free) => {
    const probe = createServer()
    probe.once('error', () => free(false))
    probe.listen(port, '127.0.0.1', () => probe.close(() => free(true)))
  })

const given = options()
if (given.help) {
  console.log(HELP)
  process.exit(0)
}

const port = Number(given.port)
if (!(Number.isInteger(port) && port > 0 && port < 65536))
  stop(`--port takes a number from 1 to 65535, not "${given.port}".`)
const rate = Number(given.rate)
if (!(rate > 0 && rate <= 10_000))
  stop(`--rate takes a number over 0, up to 10000, not "${given.rate}".`)
const OFFSET = /(?:Z|[+-]\d\d:\d\d)$/i
const from = given.clock === undefined ? null : Date.parse(given.clock)
if (from !== null && (Number.isNaN(from) || !OFFSET.test(given.clock ?? '')))
  stop(`--clock takes an instant with its offset, such as 2027-01-14T12:00:00-04:00.`)
if (!(await isFree(port)))
  stop(`port ${port} is in use. Choose another one: npm start -- --port ${port + 1}`)

const state = given.rehearse ? mkdtempSync(join(tmpdir(), 'holdbell-')) : resolve(given.state)
try {
  mkdirSync(state, { recursive: true })
  accessSync(state, constants.W_OK)
} catch {
  stop(
    `the folder ${state} cannot be made or written to. Choose another one: npm start -- --state DIR`,
  )
}

const since = Date.now()
const { url } = await serve({
  port,
  state,
  allowLocal: given['allow-local'],
  rehearse: given.rehearse,
  clock: from === null && rate === 1 ? null : { from: from ?? since, rate, since },
})

console.log(
  given.rehearse
    ? `Holdbell is rehearsing. Open ${url} and walk in: the event day takes two minutes.`
    : `Holdbell is running. Open ${url}`,
)
if (!given.rehearse) console.log(`Households are kept in ${state}. Stop it with Ctrl-C.`)
