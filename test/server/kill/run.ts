// The whole run: a real server, its stand-ins, households with their people, and somebody who kills it.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Chance } from '../../simulator/random.ts'
import { Caller } from './caller.ts'
import { type Told, lostFacts, toldOtherwise, unarmed } from './checks.ts'
import { ServerClock } from './clock.ts'
import { drawVariant, eventOf, showsFor } from './day.ts'
import type { Evidence } from './evidence.ts'
import type { Known } from './facts.ts'
import { Faulty } from './faults.ts'
import type { House, Ways } from './house.ts'
import { Killer, type When, drawWhen } from './killer.ts'
import { moveIn } from './moveIn.ts'
import { type Pause, Person } from './person.ts'
import { RealServer, quietPort } from './realServer.ts'
import { type Report, reportOf } from './report.ts'
import { StandIns } from './standIns.ts'
import { type Left, leftIn } from './storage.ts'

export type Asked = {
  readonly seed: number
  readonly kills: number
  /** So many times as fast as the world the clock runs. */
  readonly rate: number
  /** Of the messages, so many meet a stand-in that fails. */
  readonly faults: number
  /** At most so many events for each household. */
  readonly events?: number
  /** Told what happens, line by line. */
  readonly tell?: (line: string) => void
}

const HOUSES: readonly (readonly [string, Ways])[] = [
  ['Tern-Street', { webhook: true, chatId: 7001, topic: 'tern', push: ['/push/tern'] }],
  ['Hook-Lane', { webhook: true, chatId: null, topic: null, push: [] }],
  ['Quay-Row', { webhook: false, chatId: null, topic: 'quay', push: ['/push/quay'] }],
  ['Chat-Court', { webhook: false, chatId: 7004, topic: null, push: [] }],
]
// The clock is known as well as the call that asks for it is short.
const SHORT_LOOK_MS = 25

const LEAST_QUIET_MS = 3000
const HUNG_QUIET_MS = 11_000

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS

const NO_WAYS: Ways = { webhook: false, chatId: null, topic: null, push: [] }

// Noon in Halifax, on a day far enough ahead that no clock of a machine is there yet.
const FROM = Date.parse('2036-01-14T12:00:00-04:00')

/** A run's report. The same seed draws the same faults, answers and kills; when they fall is up to the machine. */
export async function killRun(asked: Asked): Promise<Report> {
  const run = new Run(asked)
  try {
    return await run.all()
  } catch (trouble) {
    throw new Error(`${run.log()}\nseed ${asked.seed}`, { cause: trouble })
  } finally {
    run.end()
  }
}

class Run {
  readonly #asked: Asked
  readonly #chance: Chance
  readonly #folder = mkdtempSync(join(tmpdir(), 'holdbell-kill-'))
  readonly #known: Known = { facts: [], answers: [], visits: [], oddities: [] }
  readonly #lines: string[] = []
  readonly #violations: string[] = []
  readonly #faulty = new Map<string, Faulty>()
  /** By the addresses at which they are told. */
  readonly #people = new Map<string, Person>()
  readonly #standIns: StandIns
  readonly #killer: Killer
  #server: RealServer | null = null
  #clock: ServerClock
  readonly #houses: House[] = []
  #timekeeper: House | null = null
  /** No event is announced any more. */
  #evening = false
  #over = false
  #farAhead = 0
  readonly #starts: number[] = []

  constructor(asked: Asked) {
    this.#asked = asked
    this.#chance = new Chance(asked.seed)
    this.#clock = new ServerClock(FROM, asked.rate)
    this.#killer = new Killer(() => this.#server?.kill() ?? false, this.#chance.apart())
    const faults = this.#chance.apart()
    this.#standIns = new StandIns(
      {
        received: (arrival) => {
          const killed = this.#killer.received(`#${arrival.number}`)
          if (!killed || this.#chance.is(0.3)) this.#see(arrival)
          return killed
        },
        answered: ({ number }) => this.#killer.answered(`#${number}`),
      },
      (channel, address) => {
        const name = `${channel} ${address}`
        const known = this.#faulty.get(name) ?? new Faulty(faults.apart(), asked.faults)
        this.#faulty.set(name, known)
        return known
      },
    )
  }

  readonly #pause: Pause = async (ms) => {
    await new Promise((resolve) => setTimeout(resolve, ms))
    return !this.#over
  }

  #tell(line: string): void {
    this.#lines.push(`${new Date(this.#clock.now()).toISOString().slice(11, 19)}  ${line}`)
    this.#asked.tell?.(this.#lines.at(-1) ?? '')
  }

  async all(): Promise<Report> {
    await this.#open()
    const days = this.#houses.map((house) => this.#day(house))
    for (let isUp = true; this.#killer.kills.length < this.#asked.kills;)
      isUp = await this.#round(drawWhen(this.#chance), isUp)
    if (!this.#isUp()) await this.#startUp()
    this.#evening = true
    await Promise.all(days)
    await this.#pause(this.#quietMs())
    this.#over = true
    const endedAt = Date.now()
    const told = await this.#toldByApi()
    this.#server?.kill()
    await this.#server?.gone()
    const left = this.#afterwards()
    this.#violations.push(...toldOtherwise(told, left))
    return reportOf(this.#evidence(left, endedAt), {
      seed: this.#asked.seed,
      violations: this.#violations,
      lines: this.#lines,
      printed: this.#server?.printed ?? '',
    })
  }

  /** Until what is on its way at the end has arrived, and what hangs was given up and tried again. */
  #quietMs(): number {
    const hung = this.#standIns.arrivals.findLast(({ fault }) => fault.startsWith('hang'))
    return Math.max(LEAST_QUIET_MS, (hung?.at ?? 0) + HUNG_QUIET_MS - Date.now())
  }

  log(): string {
    return this.#lines.slice(-60).join('\n')
  }

  end(): void {
    this.#over = true
    this.#server?.kill()
    this.#standIns.close()
    rmSync(this.#folder, { recursive: true, force: true, maxRetries: 3 })
  }

  async #open(): Promise<void> {
    await this.#standIns.open()
    const vars = join(this.#folder, 'vars')
    writeFileSync(vars, this.#standIns.vars)
    const state = join(this.#folder, 'state')
    const options = { port: await quietPort(), state, vars, clock: this.#clock }
    const server = new RealServer(options)
    this.#server = server
    const caller = new Caller(server.url, {
      sent: () => this.#killer.called(),
      confirmed: () => this.#killer.confirmed(),
    })
    const world = { caller, known: this.#known, standIns: this.#standIns }
    const { startedAt, from } = await server.start()
    this.#timekeeper = await moveIn('Clock', NO_WAYS, world)
    await this.#learn(startedAt, from)
    for (const [name, ways] of HOUSES) this.#houses.push(await moveIn(name, ways, world))
  }

  async #day(house: House): Promise<void> {
    const chance = this.#chance.apart()
    const person = new Person(house, chance.apart(), this.#pause, () =>
      showsFor(chance.whole(2, 9)),
    )
    for (const each of house.addresses) this.#people.set(each, person)
    const day = {
      house,
      person,
      chance,
      pause: this.#pause,
      known: this.#known,
      clock: this.#clock,
      tell: (line: string) => this.#tell(line),
    }
    const { events = Infinity } = this.#asked
    for (let count = 0; count < events && !this.#evening && !this.#over; count++) {
      await eventOf(day, drawVariant(chance))
      if (!(await this.#pause(500))) return
    }
  }

  #see(arrival: Parameters<Person['see']>[0]): void {
    void this.#people.get(arrival.address)?.see(arrival)
  }

  #isUp(): boolean {
    return this.#server?.isUp === true
  }

  /** One kill. Whether the server is up after it: it never is. */
  async #round(when: When, isUp: boolean): Promise<boolean> {
    if (when === 'starting') {
      if (isUp) return this.#killed(() => this.#killer.now('at random'))
      const usual = Math.max(...this.#starts.slice(-3))
      const starting = this.#server?.start()
      await this.#pause(usual * (0.3 + 0.7 * this.#chance.next()))
      return this.#killed(async () => {
        this.#killer.now(when)
        await starting
      })
    }
    if (!isUp) await this.#startUp(when === 'at once')
    if (when === 'at once') return this.#killed(() => this.#killer.now(when))
    if (when === 'called' || when === 'confirmed') void this.#announceFarAhead()
    return this.#killed(() => this.#killer.aim(when))
  }

  /** Something that is announced when the day has no call to aim at: an event of its own day, which nobody is asked for yet. */
  async #announceFarAhead(): Promise<void> {
    if (!(await this.#pause(this.#chance.whole(100, 2500)))) return
    this.#farAhead += 1
    const start = FROM + (1 + this.#farAhead) * DAY_MS
    await this.#houses[this.#farAhead % this.#houses.length]?.announce(start, start + HOUR_MS)
  }

  async #startUp(unlearned = false): Promise<void> {
    const server = this.#server
    const started = await server?.start()
    if (started === undefined) return
    this.#starts.push(Date.now() - started.startedAt)
    if (!unlearned) await this.#learn(started.startedAt, started.from)
  }

  async #killed(kill: () => void | Promise<void>): Promise<false> {
    await kill()
    await this.#server?.gone()
    const { number, when, detail } = this.#killer.kills.at(-1) ?? {
      number: 0,
      when: '',
      detail: '',
    }
    this.#tell(`kill ${number}: ${when}${detail === '' ? '' : ` (${detail})`}`)
    this.#afterwards()
    return false
  }

  /** What is on the disk, checked. */
  #afterwards(): readonly Left[] {
    const left = leftIn(join(this.#folder, 'state'))
    const killedAt = this.#killer.kills.at(-1)?.at ?? Date.now()
    const found = [...lostFacts(this.#known, left), ...unarmed(left, this.#clock, killedAt)]
    for (const each of found) this.#tell(`!! ${each}`)
    this.#violations.push(...found)
    return left
  }

  /** Asks a household that nobody else asks what time it is. */
  async #learn(startedAt: number, from: number): Promise<void> {
    let shortest = Infinity
    for (let looks = 0; looks < 5 && shortest > SHORT_LOOK_MS; looks++) {
      const asked = Date.now()
      await this.#timekeeper?.read(50)
      const answered = Date.now()
      const shown = (await this.#timekeeper?.told())?.readings.at(-1)?.at
      if (shown === undefined) return
      if (answered - asked >= shortest) continue
      shortest = answered - asked
      this.#clock.learn(startedAt, from, Date.parse(shown), (asked + answered) / 2)
    }
  }

  /** What the API says at the end of all reminders. */
  async #toldByApi(): Promise<readonly Told[]> {
    const told = this.#houses.map(async (house) => ({ id: house.id, all: await house.told() }))
    return (await Promise.all(told)).map(({ id, all }) => ({
      id,
      reminders: all?.reminders ?? null,
    }))
  }

  #evidence(left: readonly Left[], endedAt: number): Evidence {
    return {
      houses: this.#houses,
      left,
      known: this.#known,
      arrivals: this.#standIns.arrivals,
      kills: this.#killer.kills,
      up: this.#server?.up ?? [],
      clock: this.#clock,
      endedAt,
    }
  }
}
