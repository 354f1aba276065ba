// The whole worker as `npm start` runs it, killed with -9 between an armed reminder and its due time: after the next
// start the reminder comes once, late, in words that are right then. And what a browser's first steps give.

import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { createServer as createReceiver } from 'node:http'
import { type AddressInfo, createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, describe, expect, it } from 'vitest'
import { shareOf } from '../../src/reminder/index.ts'

const running: ChildProcess[] = []
const folders: string[] = []

afterEach(() => {
  for (const child of running.splice(0)) kill(child)
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true })
})

/** The whole process group, the platform's runtime included, without a chance to clean up. */
function kill(child: ChildProcess): void {
  try {
    if (child.pid !== undefined) process.kill(-child.pid, 'SIGKILL')
  } catch {
    // It is gone already.
  }
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1')
  await once(server, 'listening')
  const { port } = server.address() as AddressInfo
  server.close()
  return port
}

async function start(port: number, state: string, ...options: string[]) {
  const child = spawn(
    process.execPath,
    ['scripts/start.ts', '--port', String(port), '--state', state, ...options],
    { detached: true, stdio: ['ignore', 'pipe', 'pipe'] },
  )
  running.push(child)
  let printed = ''
  child.stdout.on('data', (data) => (printed += data))
  child.stderr.on('data', (data) => (printed += data))
  const url = await new Promise<string>((resolve, reject) => {
    child.stdout.on('data', () => {
      const found = /Open (http:\S+)/.exec(printed)?.[1]
      if (found !== undefined) resolve(found)
    })
    child.once('exit', () => reject(new Error(printed)))
  })
  return { child, url, printed: () => printed }
}

const bearer = (token: string) => ({
  authorization: `Bearer ${token}`,
  'content-type': 'application/json',
})

type Reminder = { kind: string; state: string; text: string | null; sentAt: string | null }

describe('a killed server', () => {
  it('sends an overdue reminder once after the restart, late, in words that are still right', async () => {
    const state = mkdtempSync(join(tmpdir(), 'holdbell-test-'))
    folders.push(state)
    const port = await freePort()
    const first = await start(port, state, '--clock', '2036-01-14T13:00:00-04:00')
    const post = (url: string, path: string, token: string, body: object) =>
      fetch(`${url}${path}`, { method: 'POST', headers: bearer(token), body: JSON.stringify(body) })

    const made = (await (
      await post(first.url, '/api/households', '', {
        name: 'Tern Street',
        timeZone: 'America/Halifax',
        battery: { capacityKwh: 9.6, maxDischargeKw: 3.6 },
        load: { kw: 0.8 },
      })
    ).json()) as { token: string }
    await post(first.url, '/api/readings', made.token, { socPct: 55 })
    await post(first.url, '/api/events', made.token, {
      start: '2036-01-14T17:30:00-04:00',
      end: '2036-01-14T18:30:00-04:00',
    })
    const reminders = async (url: string) =>
      (await (
        await fetch(`${url}/api/reminders`, { headers: bearer(made.token) })
      ).json()) as Reminder[]
    const before = (await reminders(first.url)).find((each) => each.kind === 'hold')
    expect(before?.state).toBe('waiting')
    kill(first.child)
    await once(first.child, 'exit')

    // Twenty past the latest safe hold (16:28), by the clock of the second start; nobody asks before we look.
    const second = await start(port, state, '--clock', '2036-01-14T16:50:00-04:00')
    await expect
      .poll(async () => (await reminders(second.url)).find((each) => each.kind === 'hold')?.state, {
        timeout: 10_000,
      })
      .toBe('sent')
    const holds = (await reminders(second.url)).filter((each) => each.kind === 'hold')
    expect(holds).toHaveLength(1)
    expect(holds[0]?.text).toMatch(/^Hold now\. It was to be by 16:28; it still helps until 17:25/)
    const household = (await (
      await fetch(`${second.url}/api/household`, { headers: bearer(made.token) })
    ).json()) as { messages: { text: string }[] }
    expect(household.messages.filter((each) => each.text.startsWith('Hold '))).toHaveLength(1)
    expect(second.printed()).not.toMatch(/error|warn/i)
  })

  it('wakes by itself, by the real clock, without anybody asking', async () => {
    const received: { type: string; data: { text: string } }[] = []
    const receiver = createReceiver((request, response) => {
      let body = ''
      request.on('data', (data) => (body += data))
      request.on('end', () => {
        received.push(JSON.parse(body))
        response.writeHead(204).end()
      })
    }).listen(0, '127.0.0.1')
    await once(receiver, 'listening')
    const hook = `http://127.0.0.1:${(receiver.address() as AddressInfo).port}/`
    const state = mkdtempSync(join(tmpdir(), 'holdbell-test-'))
    folders.push(state)
    const port = await freePort()
    const first = await start(port, state, '--allow-local')
    const post = async (path: string, token: string, body: object) =>
      (await (
        await fetch(`${first.url}${path}`, {
          method: 'POST',
          headers: bearer(token),
          body: JSON.stringify(body),
        })
      ).json()) as { token: string; id: string }
    const { token, id } = await post('/api/households', '', {
      name: 'Tern Street',
      timeZone: 'America/Halifax',
      battery: { capacityKwh: 9.6, maxDischargeKw: 3.6 },
      load: { kw: 0.8 },
      webhook: { url: hook },
    })
    // The reserve of the model's example is 2.3523 kWh, and 0.8421 kW are drawn: the hold is due ten minutes before
    // the charge comes down to it, and by this household's share of a minute more (R26): here in eight seconds.
    const due = Date.now() + 8000
    const aheadS = 8 + 600 + Math.floor(60 * shareOf(id))
    const storedKwh = 2.352280701754386 + (0.8 / 0.95) * (aheadS / 3600)
    await post('/api/readings', token, { socPct: (100 * storedKwh) / 9.6 })
    const at = (minutes: number) => new Date(Date.now() + minutes * 60_000).toISOString()
    await post('/api/events', token, { start: at(60), end: at(120) })
    await expect.poll(() => received.map((each) => each.type)).toContain('reminder.plan')
    kill(first.child)
    await once(first.child, 'exit')
    await expect.poll(() => Date.now() > due + 1000, { timeout: 20_000 }).toBe(true)
    expect(received.filter((each) => each.type === 'reminder.hold')).toEqual([])

    await start(port, state, '--allow-local')
    const holds = () => received.filter((each) => each.type === 'reminder.hold')
    await expect.poll(() => holds().length, { timeout: 15_000 }).toBe(1)
    expect(holds()[0]?.data.text).toMatch(/^Hold by \d\d:\d\d, or as soon as it shows 25/)
    receiver.close()
  })

  it('says which port is in use', async () => {
    const state = mkdtempSync(join(tmpdir(), 'holdbell-test-'))
    folders.push(state)
    const port = await freePort()
    await start(port, state, '--clock', '2036-01-14T13:00:00-04:00')
    await expect(start(port, state, '--clock', '2036-01-14T13:00:00-04:00')).rejects.toThrow(
      `holdbell: port ${port} is in use. Choose another one: npm start -- --port ${port + 1}`,
    )
  })
})
