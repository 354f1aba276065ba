// What a person's message means. Pure: the household's events and the instant are arguments; it answers
// nothing and changes nothing. Where a message can mean two things it asks, with choices to send.

import {
  changeOf,
  isKnownZone,
  partsOf,
  plainText,
  readAnnouncement,
  tokensOf,
} from '../announcement/index.ts'
import { applianceAsked } from './applianceAsked.ts'
import { cancelled, cancelledAndNew, moved } from './change.ts'
import { announceChoices, ask } from './choices.ts'
import type { ChatContext, Choice, Intent } from './intent.ts'
import { looksLikeReadings } from './meterData.ts'
import { fixedPhrase, snooze } from './phrases.ts'
import { askedAfter, presence } from './presence.ts'
import { reading } from './reading.ts'
import { sunAsked } from './sun.ts'
import { twoThings } from './twoThings.ts'
import { urgent } from './urgent.ts'

export type {
  ChatContext,
  ChatQuestionWhy,
  Choice,
  ChoiceLabel,
  Intent,
  KnownEvent,
  Question,
} from './intent.ts'

type Unclear = Extract<ReturnType<typeof readAnnouncement>, { kind: 'question' }>

/** More buttons than these nobody reads. */
const MAX_CHOICES = 8

// What is asked about times that may be no event at all, such as office hours.
const MAY_BE_NONE = new Set(['too_long', 'too_short', 'too_far', 'in_the_past'])

const YES = /^(?:yes|yep|confirm|confirmed)[ ,:]+(?=\S)/

/** Understands one message; never throws. Every choice of a question reads back without a further question. */
export function understand(text: string, context: ChatContext): Intent {
  if (looksLikeReadings(text)) return { kind: 'meter', pasted: true }
  const spoken = plainText(text).trim().replace(/^\//, '')
  if (!isKnownZone(context.timeZone)) return ask({ reason: 'unknown_zone', zone: context.timeZone })
  const words = tokensOf(spoken)
  const simple =
    askedAfter(spoken) ??
    sunAsked(spoken) ??
    fixedPhrase(words) ??
    reading(words, context) ??
    snooze(words) ??
    twoThings(words, context)
  if (simple !== null) return simple
  const confirmed = YES.test(spoken)
  const said = confirmed ? spoken.replace(YES, '') : spoken
  const full = { ...context, confirmed }
  const parts = partsOf(said, full)
  const first = urgent(parts)
  if (first !== null) return first
  const changes = parts.sentences.map(changeOf)
  const about = changes.some((change) => change === 'cancelled' || change === 'moved')
    ? null
    : (applianceAsked(said, parts) ?? presence(said, parts, full))
  if (about !== null) return about
  const found = readAnnouncement(said, full)
  if (changes.includes('cancelled'))
    return found.kind === 'question' && found.why.reason === 'cancelled_and_new'
      ? cancelledAndNew(found.candidates, context)
      : cancelled(parts, context)
  if (changes.includes('moved')) return moved(parts, full)
  if (found.kind === 'events') return { kind: 'announce', events: found.events }
  if (found.kind === 'nothing') return { kind: 'unknown' }
  return ask(found.why, choicesFor(found, context))
}

// Where the rest may be no event at all, what is sure can be had alone.
function choicesFor({ why, candidates, sure }: Unclear, context: ChatContext): readonly Choice[] {
  if (why.reason === 'several_unclear')
    return announceChoices([...sure, ...candidates], [], context)
  const alone = candidates.length === 0 || MAY_BE_NONE.has(why.reason)
  return [
    ...(alone ? announceChoices(sure, [], context) : []),
    ...announceChoices(candidates, sure, context),
  ].slice(0, MAX_CHOICES)
}
