// What holds at each call of a channel: I3 nothing after an answer, I5 doubles are explained and marked, I8 nothing that is of
// no use, I11 right words, I14 what is out is settled, I15 nothing to what is gone, I16 no hurry, I17 nobody is woken.

import { DateTime } from 'luxon'
import type { Outcome } from '../../src/delivery/index.ts'
import { MINUTE_MS } from '../../src/plan/index.ts'
import {
  type Attempt,
  type Household,
  type Reminder,
  WEBHOOK,
  isOpen,
} from '../../src/reminder/index.ts'
import type { Facts } from './facts.ts'
import { Broken, type Call } from './shell.ts'

/** The lease of a minute began when it was decided to send; making the message took some of it. */
const LEASE_MS = 55_000
const MOST_ATTEMPTS = 10
const IS_HANDS = new Set<Reminder['kind']>(['hold', 'release', 'restore', 'overnight'])
const IS_URGENT = new Set<Reminder['kind']>(['hold', 'release', 'restore'])
/** A message says the same at each attempt; one for a time that has just passed may still be on its way. */
const MOST_ON_A_CALM_DAY = 5
const STALE_MS = 5 * MINUTE_MS

export class SendChecks {
  readonly #facts: Facts
  /** Addresses that want nothing any more, by channel. */
  readonly #gone = new Map<string, string>()
  readonly #sendings = new Map<string, Set<string>>()

  constructor(facts: Facts) {
    this.#facts = facts
  }

  called(household: Household, call: Call): void {
    const { delivery, address, text } = call
    const { now, process, calls } = this.#facts
    const current = household.deliveries.find(({ id }) => id === delivery.id) ?? delivery
    const reminder = household.reminders.find(({ key }) => key === delivery.reminderKey)
    if (reminder === undefined) throw new Broken('I1', `${delivery.id} is sent for no reminder`)
    const before = calls.get(delivery.id) ?? []
    if (delivery.purpose === 'ask') this.#isWanted(household, reminder, delivery.id)
    this.#notInHurry(delivery.id)
    const there = before.filter(({ arrived }) => arrived)
    if (there.length > 0) this.#facts.look('I5')
    if (there.length > 0 && !current.doubtful)
      throw new Broken('I5', `${delivery.id} is sent again, and does not say that it may have come`)
    if (there.length > 0 && delivery.channel !== WEBHOOK && delivery.purpose === 'ask')
      if (!text.endsWith('(You may have this already.)'))
        throw new Broken('I5', `${delivery.id} does not say that it may have come: ${text}`)
    if (/NaN|undefined|null|Infinity|Invalid/.test(text) || text === '')
      throw new Broken('I11', `${delivery.id} says: ${text}`)
    const channel = household.channels.find(({ id }) => id === delivery.channel)
    if (delivery.channel !== WEBHOOK && channel?.state !== 'on')
      throw new Broken('I15', `${delivery.id} goes to a channel that is off`)
    if (this.#gone.get(delivery.channel) === address)
      throw new Broken('I15', `${delivery.id} goes to an address that said it is gone`)
    if (delivery.purpose === 'ask') {
      this.#once(household, reminder, current)
      this.#isTrue(reminder, call)
      if (channel !== undefined) this.#isAwake(household, channel.person, delivery.id)
    } else if (isOpen(reminder)) throw new Broken('I14', `${delivery.id} settles what is open`)
    const made = { at: now, process, arrived: false, attempt: null, returnedAt: null, waitMs: 0 }
    this.#facts.add(calls, delivery.id, made)
  }

  arrived({ delivery, message }: Call, isDouble: boolean): void {
    if (isDouble) return
    const { calls, arrivals, now } = this.#facts
    const made = calls.get(delivery.id)?.at(-1)
    if (made !== undefined) made.arrived = true
    const { channel, repeat, reminderKey } = delivery
    if (delivery.purpose !== 'ask') return
    this.#facts.add(arrivals, reminderKey, { at: now, channel, repeat })
    if (this.#facts.season.calm && channel !== WEBHOOK) this.#fewEnough(message.eventId, delivery)
  }

  /** I4: on a calm day. What goes to several channels at once is one message. */
  #fewEnough(eventId: string, { reminderKey, repeat }: Call['delivery']): void {
    const sendings = this.#sendings.get(eventId) ?? new Set<string>()
    this.#sendings.set(eventId, sendings.add(`${reminderKey} ${repeat}`))
    if (sendings.size > MOST_ON_A_CALM_DAY)
      throw new Broken(
        'I4',
        `${sendings.size} messages for ${eventId}: ${[...sendings].join(', ')}`,
      )
  }

  isGone(channel: string, address: string): void {
    this.#gone.set(channel, address)
  }

  /** Somebody set it up again. */
  isBack(channel: string): void {
    this.#gone.delete(channel)
  }

  returned(deliveryId: string, attempt: Attempt, outcome: Outcome): void {
    const made = this.#facts.calls.get(deliveryId)?.at(-1)
    if (made === undefined) return
    made.attempt = attempt
    made.returnedAt = this.#facts.now
    made.waitMs = outcome.kind === 'try-again' ? (outcome.afterMs ?? 0) : 0
  }

  /** I14: in the end every chat's message that asks for something shows that it is over. */
  atEnd(household: Household): void {
    const open = new Set(household.reminders.filter(isOpen).map(({ key }) => key))
    for (const { id, purpose, reminderKey, channel, state, handle } of household.deliveries) {
      if (purpose !== 'ask' || state !== 'accepted' || handle === null) continue
      if (open.has(reminderKey)) continue
      const kind = household.channels.find((each) => each.id === channel)?.target.kind
      if (kind !== 'telegram') continue
      this.#facts.look('I14')
      const settled = household.deliveries.some((each) => each.id.startsWith(`${id}_over`))
      if (!settled) throw new Broken('I14', `${id} still has its buttons, and its reminder is over`)
    }
  }

  /** I18: nobody has one sending by two channels, but where the first did not say that it took it; what can wait goes to one. */
  #once(
    household: Household,
    { kind }: Reminder,
    { id, channel, reminderKey, repeat, doubtful, note }: Call['delivery'],
  ): void {
    if (channel === WEBHOOK) return
    if (kind === 'plan') throw new Broken('I18', `${id} tells a plan outside the page`)
    const personOf = (of: string) => household.channels.find((each) => each.id === of)?.person
    const same = household.deliveries.filter(
      (each) =>
        each.purpose === 'ask' &&
        each.reminderKey === reminderKey &&
        each.repeat === repeat &&
        each.id !== id,
    )
    const taken = same.filter((each) => each.state === 'accepted' && each.channel !== WEBHOOK)
    this.#facts.look('I18')
    if (IS_URGENT.has(kind)) {
      const other = taken.find((each) => personOf(each.channel) === personOf(channel))
      if (note !== null && other !== undefined)
        throw new Broken('I18', `${id} is tried again, ${other.id} was taken`)
      return
    }
    const other = taken[0]
    // One that a crash cut off may be sent beside the one that it was to stand in for.
    if (other !== undefined && !doubtful)
      throw new Broken('I18', `${id} can wait, and ${other.id} was taken already`)
  }

  /** I3, I8 */
  #isWanted(household: Household, reminder: Reminder, id: string): void {
    const { now, answered } = this.#facts
    const { key, kind, eventId, uselessAfter } = reminder
    const event = household.events.find((each) => each.id === eventId)
    if (answered.has(key)) throw new Broken('I3', `${id} is sent after ${key} was answered`)
    if (IS_HANDS.has(kind))
      for (const other of household.reminders) {
        if (other.kind !== kind || other.eventId !== eventId || other.key === key) continue
        const at = answered.get(other.key)
        if (at === undefined || event === undefined) continue
        const since = Math.max(
          event.changedAt,
          event.runsSince ?? 0,
          kind === 'hold' ? 0 : (event.heldAt ?? 0),
        )
        if (at > since) throw new Broken('I3', `${id} is sent though ${other.key} was answered`)
      }
    if (now >= uselessAfter) throw new Broken('I8', `${id} is sent when it is of no use`)
    const end = event?.end ?? Infinity
    if ((kind === 'release' || kind === 'hold') && now >= end)
      throw new Broken('I8', `${id} is sent after the event`)
    if (kind === 'hold' && event !== undefined && now >= event.start)
      throw new Broken('I8', `${id} asks to hold in the event`)
  }

  /** I11: a time by which something is to be done is not past, nor another day's. */
  #isTrue({ key, kind, sentAt }: Reminder, { text, delivery }: Call): void {
    const said =
      /(?:Hold by|to be by|run again by|hold before|run again before) (\d\d):(\d\d)/.exec(text)
    if (said === null || (kind !== 'hold' && kind !== 'release')) return
    this.#facts.look('I11')
    if (/It was to be by/.test(text)) return
    const { now, season, touched } = this.#facts
    const { timeZone } = season.household.settings
    // A program is told when the message was made.
    if (delivery.channel === WEBHOOK) return
    // What was put off, or taken back, since it was said; an hour that the clock shows twice; a wait that was asked for.
    if ((touched.get(key) ?? -Infinity) >= (sentAt ?? now)) return
    const waited = this.#facts.calls.get(delivery.id)?.some(({ waitMs }) => waitMs > STALE_MS)
    if (waited === true) return
    const local = DateTime.fromMillis(now, { zone: timeZone })
    if (local.plus({ hours: 3 }).offset !== local.minus({ hours: 3 }).offset) return
    const minutes = Number(said[1]) * 60 + Number(said[2])
    const at = local.hour * 60 + local.minute
    // How long ago that was by the clock on the wall, if it was in the last half day.
    const ago = (at - minutes + 1440) % 1440
    if (ago < 720 && ago * MINUTE_MS > STALE_MS)
      throw new Broken('I11', `${delivery.id} says at ${local.toFormat('HH:mm')}: ${text}`)
  }

  /** I16 */
  #notInHurry(id: string): void {
    const { now, calls, process } = this.#facts
    const before = calls.get(id) ?? []
    const last = before.at(-1)
    if (last === undefined) return
    if (before.length >= MOST_ATTEMPTS)
      throw new Broken('I16', `${id} is tried ${before.length + 1} times`)
    const { attempt, returnedAt } = last
    this.#facts.look('I16')
    if (attempt?.kind === 'accepted' && last.process === process)
      throw new Broken('I5', `${id} is sent again after it was taken`)
    if (attempt === null && now < last.at + LEASE_MS)
      throw new Broken('I5', `${id} is sent again while it is being sent`)
    if (
      attempt?.kind === 'try-again' &&
      returnedAt !== null &&
      now < returnedAt + last.waitMs &&
      last.process === process
    )
      throw new Broken('I16', `${id} is tried again before the receiver wants it`)
  }

  /** I17 */
  #isAwake({ settings }: Household, name: string, id: string): void {
    const quiet = settings.people.find((person) => person.name === name)?.quiet
    if (!quiet) return
    this.#facts.look('I17')
    const { now } = this.#facts
    const clock = DateTime.fromMillis(now, { zone: settings.timeZone }).toFormat('HH:mm')
    const { from, until } = quiet
    const asleep = from < until ? from <= clock && clock < until : clock >= from || clock < until
    if (asleep) throw new Broken('I17', `${id} wakes ${name} at ${clock}`)
  }
}
