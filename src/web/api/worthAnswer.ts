// What a plan is worth as it is answered: instants as text, figures as they are.

import type { Bill, Instant, Span, Worth } from '../../plan/index.ts'
import { printComputed, printInstant } from './rfc3339.ts'
import type { WorthAnswer } from './schemas/worthAnswer.ts'

export const worthAnswer = (worth: Worth): WorthAnswer => ({
  horizon: spanAnswer(worth.horizon, worth.horizon.start),
  withPlan: billAnswer(worth.withPlan, worth.horizon.start),
  withoutPlan: billAnswer(worth.withoutPlan, worth.horizon.start),
  difference: { ...worth.difference },
  gain: worth.gain,
})

const billAnswer = (bill: Bill, now: Instant): WorthAnswer['withPlan'] => ({
  ...bill,
  importByHalfHour: bill.importByHalfHour.map(({ start, kwh }) => ({
    start: printComputed(start, now),
    kwh,
  })),
  events: bill.events.map((event) => ({
    ...event,
    start: printInstant(event.start),
    end: printInstant(event.end),
  })),
})

/** A span that was computed at `now`. */
export const spanAnswer = ({ start, end }: Span, now: Instant) => ({
  start: printComputed(start, now),
  end: printComputed(end, now),
})
