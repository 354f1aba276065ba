// `npm start`: the worker on this machine, with real storage in a folder and no account. Options are in
// README.md; the clock's and the addresses' exist on a local run alone.

import { accessSync, constants, mkdirSync, mkdtempSync, readFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { serve } from './serve.ts'
import { LOCAL_SUBJECT, keptKeys } from './vapid.ts'
import { BadVars, type Vars, readVars } from './vars.ts'

const HELP = `npm start -- [options]
  --port N        the port to listen on (8787)
  --state DIR     the folder that keeps the households (.holdbell)
  --rehearse      the demo house's event day in two minutes; kept nowhere
  --clock TIME    set the clock, for example 2027-01-14T12:00:00-04:00
  --rate N        run the clock N times as fast (1)
  --vars FILE     what the channels take, as lines NAME=value: TELEGRAM_TOKEN,
                  TELEGRAM_BOT, TELEGRAM_SECRET, MAIL_FROM, MAIL_AUTH_SERVER,
                  VAPID_SUBJECT
  --allow-local   let messages go to this machine, by http too`

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
        vars: { type: 'string' },
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

function varsIn(file: string, allowLocal: boolean): Vars {
  try {
    return readVars(readFileSync(file, 'utf8'), { allowLocal })
  } catch (error) {
    const { message } = error as Error
    return stop(error instanceof BadVars ? `${file}, ${message}` : `--vars: ${message}`)
  }
}

async function keysIn(state: string) {
  try {
    return await keptKeys(state)
  } catch (error) {
    return stop((error as Error).message)
  }
}

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
const vars = given.vars === undefined ? {} : varsIn(given.vars, given['allow-local'])
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

const { publicKey, privateKey } = await keysIn(state)

const since = Date.now()
const { url } = await serve({
  port,
  state,
  allowLocal: given['allow-local'],
  rehearse: given.rehearse,
  clock: from === null && rate === 1 ? null : { from: from ?? since, rate, since },
  vars: {
    VAPID_SUBJECT: LOCAL_SUBJECT,
    ...vars,
    VAPID_PUBLIC_KEY: publicKey,
    VAPID_PRIVATE_KEY: privateKey,
  },
})

console.log(
  given.rehearse
    ? `Holdbell is rehearsing. Open ${url} and walk in: the event day takes two minutes.`
    : `Holdbell is running. Open ${url}`,
)
if (!given.rehearse) console.log(`Households are kept in ${state}. Stop it with Ctrl-C.`)
if (vars.MAIL_FROM !== undefined)
  console.log('Mails are not sent: each is written under .wrangler/tmp/email, until this stops.')
