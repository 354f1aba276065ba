// Why a plan was refused, in words and with the field to change: every reason, in one switch.

import type { DaysRefusal } from '../../plan/index.ts'
import { problemWords as words } from '../../words/en/problems.ts'
import { pointer, refused } from './problem.ts'
import type { Problem } from './problem.ts'
import { printInstant } from './rfc3339.ts'

/** 422 with the pointer into the request of `POST /api/plan`. */
export function planProblem(refusal: DaysRefusal): Problem {
  switch (refusal.reason) {
    case 'event_over':
      return refused(
        ['events', refusal.event, 'end'],
        words.eventOver(printInstant(refusal.end), printInstant(refusal.now)),
      )
    case 'event_reversed':
      return refused(['events', refusal.event, 'end'], words.spanReversed)
    case 'events_overlap':
      return refused(
        ['events', refusal.event],
        words.eventsOverlap(pointer(['events', refusal.other])),
      )
    case 'reading_in_future':
      return refused(
        ['reading', 'at'],
        words.readingInFuture(printInstant(refusal.at), printInstant(refusal.now)),
      )
    case 'taper_without_limit':
      return refused(['battery', 'maxChargeKw'], words.taperWithoutLimit)
    case 'taper_over_limit':
      return refused(
        ['battery', 'taper', 'toKw'],
        words.taperOverLimit(refusal.toKw, refusal.maxChargeKw),
      )
    case 'top_up_without_limit':
      return refused(['battery', 'maxChargeKw'], words.topUpWithoutLimit)
    case 'no_comparable_day':
      return refused(['load', 'days'], words.noComparableDay)
  }
}
