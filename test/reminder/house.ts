// A household to spoil one thing of, and a day to live through: time jumps from wake to wake, as the alarm does.

import { retryDelayMs } from '../../src/delivery/index.ts'
import { type Instant, asInstant } from '../../src/plan/index.ts'
import {
  type Command,
  type Decision,
  type Household,
  NO_HABITS,
  type Settings,
  decide,
  newHousehold,
  nextWake,
} from '../../src/reminder/index.ts'

export const at = (clock: string, day = '2027-01-14'): Instant =>
  asInstant(Date.parse(`${day}T${clock}:00-04:00`))

export const settings: Settings = {
  name: 'Tern Street',
  timeZone: 'America/Halifax',
  language: 'en',
  dayFirst: true,
  battery: {
    capacityKwh: 9.6,
    outageReservePct: 10,
    maxDischargeKw: 3.6,
    maxChargeKw: Infinity,
    dischargeEfficiency: 0.95,
    chargeEfficiency: 0.95,
    standbyKw: 0,
    taper: null,
  },
  loadKw: 0.8,
  nightCharge: null,
  margin: { pct: 5 },
  rule: null,
  releaseLeadMinutes: 5,
  howToHold: 'the app, discharge off.',
  howToRelease: 'the app, discharge on.',
  medical: false,
  webhook: null,
  calendarAlarms: false,
  ...NO_HABITS,
  demo: false,
}

// An id whose share of the minute's spread (R26) is nought.
export const empty: Household = newHousehold('tern3', settings)

export const withWebhook: Household = {
  ...empty,
  settings: { ...settings, webhook: { url: 'https://example.com/hook', secret: 'whsec_x' } },
}

/** A household that lives through time. Deliveries are accepted at once unless `transport` says otherwise. */
export class House {
  household: Household
  now: Instant
  readonly sends: { at: Instant; id: string }[] = []
  transport: (id: string) => 'accepted' | 'try-again' | 'gone' | 'silence' = () => 'accepted'

  constructor(household: Household, now: Instant) {
    this.household = household
    this.now = now
  }

  do(command: Command): Decision {
    const decision = decide(command, this.household, this.now)
    this.household = decision.household
    for (const { deliveryId } of decision.effects) {
      this.sends.push({ at: this.now, id: deliveryId })
      const kind = this.transport(deliveryId)
      if (kind === 'silence') continue
      const attempt =
        kind === 'try-again'
          ? { kind, afterMs: retryDelayMs(this.attempts(deliveryId)), note: 'status 503' }
          : kind === 'gone'
            ? { kind, note: 'status 410', address: 'https://example.com/hook' }
            : { kind, handle: deliveryId }
      this.do({ type: 'attempted', deliveryId, attempt })
    }
    return decision
  }

  /** Lives on until an instant, waking whenever there is something to wake for. */
  until(end: Instant): this {
    for (let wakes = 0; ; wakes++) {
      const next = nextWake(this.household)
      if (next === null || next > end) break
      if (wakes > 500) throw new Error('It does not come to rest')
      this.now = asInstant(Math.max(this.now, next))
      this.do({ type: 'wake' })
    }
    this.now = end
    return this
  }

  private attempts(id: string): number {
    return this.household.deliveries.find((each) => each.id === id)?.attempts ?? 0
  }

  /** What was sent of a kind, as clock times in Halifax. */
  times(kind: string): string[] {
    return this.household.messages
      .filter((message) => message.reminderKey?.startsWith(`${kind}-`))
      .map((message) => clock(message.at))
  }

  reminder(kind: string) {
    const found = this.household.reminders.findLast((each) => each.kind === kind)
    if (found === undefined) throw new Error(`There is no ${kind} reminder`)
    return found
  }

  last(): string {
    return this.household.messages.at(-1)?.text.replaceAll('\u00a0', ' ') ?? ''
  }
}

export const clock = (instant: Instant): string =>
  new Intl.DateTimeFormat('en-GB', {
    timeZone: 'America/Halifax',
    hour: '2-digit',
    minute: '2-digit',
  }).format(instant)

/** 13:00, 55 %, and an event from 17:30 to 18:30: the model's worked example. */
export function workedDay(household: Household = empty): House {
  const house = new House(household, at('13:00'))
  house.do({ type: 'reading', at: at('13:00'), socPct: 55 })
  house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
  return house
}
