// "Worth it?": what the next event's plan costs and earns more than none, in a sentence.

import type { Instant } from '../plan/index.ts'
import {
  type Household,
  eventName,
  formatOf,
  planFor,
  plannedEvent,
  upcoming,
  worthOfEvent,
  worthText,
} from '../reminder/index.ts'
import { answerWords, worthWords as say } from '../words/index.ts'
import { planAnswer } from './explain.ts'

export function worthAnswer(household: Household, now: Instant): string {
  const current = { ...household, plan: planFor(household, now) }
  const event = upcoming(current, now)[0]
  if (household.settings.unitRates === null) return say.noRates
  if (event === undefined) return answerWords.noEvent
  // Not planned yet: what there is to say of it instead.
  if (plannedEvent(current, event.id) === null) return planAnswer(household, now)
  const worth = worthOfEvent(current, event.id)
  const name = eventName(household, event)
  if (worth === null) return say.noneLeft(name)
  const f = formatOf(household)
  const { baselineKwh } = worth
  const notes = baselineKwh === null ? [] : [say.footnote(f.kwh(baselineKwh))]
  return [say.of(name), worthText(worth, f), ...notes].join('\n')
}
