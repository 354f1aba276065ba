// The building blocks of requests: instants, spans, zones, texts. What is refused here is refused
// with a sentence; numbers carry their bounds and get theirs from the issue.

import * as z from 'zod'
import type { Instant } from '../../../plan/index.ts'
import { DAY_MS, HOUR_MS } from '../../../plan/index.ts'
import { problemWords } from '../../../words/en/problems.ts'
import { FIRST_YEAR, LAST_YEAR, dayExists, parseInstant } from '../rfc3339.ts'
import type { InstantRefusal } from '../rfc3339.ts'

const instantWords: Record<InstantRefusal, string> = {
  form: problemWords.notInstant,
  'no-such-instant': problemWords.noSuchInstant,
  'leap-second': problemWords.leapSecond,
  year: problemWords.yearOutOfRange(FIRST_YEAR, LAST_YEAR),
}

/** An RFC 3339 instant with its offset, read into epoch milliseconds. */
export const instant = (description: string) =>
  z
    .string()
    .transform((text, context): Instant => {
      const read = parseInstant(text)
      if (read.ok) return read.value
      context.addIssue({ code: 'custom', message: instantWords[read.refusal] })
      return z.NEVER
    })
    .meta({ description, format: 'date-time', examples: ['2027-01-14T17:30:00-04:00'] })

/** For a check across fields: not before every field is right, lest one mistake be told twice. */
export const onlyWhenSound = ({ issues }: { issues: readonly unknown[] }) => issues.length === 0

const after = (span: { start: Instant; end: Instant }) => span.end > span.start

/** From `start` up to `end`, which is later. */
export const Span = z
  .strictObject({ start: instant('From this instant.'), end: instant('Up to this instant.') })
  .refine(after, { path: ['end'], message: problemWords.spanReversed })
  .meta({ id: 'Span', description: 'An interval of time; its end is after its start.' })

const MAX_EVENT_HOURS = DAY_MS / HOUR_MS

/** Not too long to be an event. Whether it is reversed or over is the planner's to say. */
export const EventSpan = z
  .strictObject({
    start: instant('When the event begins.'),
    end: instant('When it ends; at most 24 hours after the start.'),
  })
  .refine(({ start, end }) => end - start <= DAY_MS, {
    path: ['end'],
    message: problemWords.eventTooLong(MAX_EVENT_HOURS),
  })
  .meta({
    id: 'EventSpan',
    description: 'The interval in which the household should draw little or nothing from the grid.',
  })

/** A day of the local calendar, `2027-01-14`. */
export const date = (description: string) =>
  z
    .string()
    .refine(
      (text) => {
        const match = /^(\d{4})-(\d\d)-(\d\d)$/.exec(text)
        return match !== null && dayExists(Number(match[1]), Number(match[2]), Number(match[3]))
      },
      { message: problemWords.notDate },
    )
    .meta({ description, format: 'date', examples: ['2027-01-14'] })

// Intl also takes offsets such as +05:00, which are no IANA names, and abbreviations that mean another place to
// somebody else: AST is Alaska to it, and Atlantic time to people in Halifax.
function zoneExists(name: string): boolean {
  if (!/^[A-Za-z_]+\/[A-Za-z]|^UTC$/.test(name)) return false
  try {
    return new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone !== ''
  } catch {
    return false
  }
}

export const timeZone = z
  .string()
  .refine((name) => name.length <= 64 && zoneExists(name), { message: problemWords.unknownZone })
  .meta({ description: 'IANA time zone name.', examples: ['America/Halifax'] })

export const clock = (description: string) =>
  z
    .string()
    .refine((text) => /^([01]\d|2[0-3]):[0-5]\d$/.test(text), { message: problemWords.notClock })
    .meta({ description, examples: ['23:30'] })

/** A name: one line, so that it cannot break out of a calendar line or a header. */
export const line = (most: number, description: string) =>
  z
    .string()
    .trim()
    .min(1)
    .max(most)
    .refine((text) => !/[\p{Cc}\p{Zl}\p{Zp}\p{Cs}]/u.test(text), { message: problemWords.oneLine })
    .meta({ description })

/** Some lines of text. Line ends come in as any of CR LF, CR, LF and are kept as LF. */
export const text = (least: number, most: number, description: string) =>
  z
    .string()
    .min(least)
    .max(most)
    .transform((value) => value.replaceAll(/\r\n?/g, '\n'))
    .refine((value) => !/[^\P{Cc}\n\t]|\p{Cs}/u.test(value), { message: problemWords.plainText })
    .meta({ description })
