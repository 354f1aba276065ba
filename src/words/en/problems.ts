// What the API says when it refuses, and the cautions that go with a plan. Read by people who write
// programs, so values stand as they would in JSON; the sentence still comes whole.

import type { Caution, NotCheapest, Unpromised } from '../../plan/index.ts'
import type { Format } from '../format.ts'

const count = (n: number, one: string, many: string) => (n === 1 ? one : many)

export const problemWords = {
  titles: {
    'invalid-request': 'The request is not valid.',
    'unreadable-body': 'The body cannot be read.',
    'body-too-large': 'The body is too large.',
    'unsupported-media-type': 'The body is of the wrong type.',
    unauthorized: 'The token is missing or wrong.',
    'not-found': 'There is nothing here.',
    'method-not-allowed': 'This address does not take that method.',
    refused: 'The request cannot be carried out.',
    'meter-question': 'The file can be read in more than one way.',
    'meter-refused': 'The file cannot be taken.',
    internal: 'Something went wrong on our side.',
  },

  // The body as a whole
  invalid: (fields: number) =>
    count(
      fields,
      'One field needs a change: see errors.',
      `${fields} fields need a change: see errors.`,
    ),
  invalidMore: (shown: number, fields: number) =>
    `${fields} fields need a change: errors lists the first ${shown}.`,
  emptyBody: 'Send a JSON object in the body: it is empty.',
  notUtf8: 'Send the body in UTF-8.',
  notJson: 'Send JSON in the body: this is not valid JSON.',
  notObject: 'Send a JSON object in the body.',
  repeatedKey: 'Give each name once: this one stands in the object twice.',
  tooLarge: (mostBytes: number) => `Send at most ${mostBytes} bytes.`,
  wrongMediaType: 'Send the header Content-Type: application/json.',
  noToken: "Send the header Authorization: Bearer, followed by the household's token.",
  wrongToken: 'Use the token of a household that exists: this one opens none.',
  noSuchAddress: 'Look up the addresses in /openapi.json: this is none of them.',
  wrongMethod: (allowed: string) => `Use one of these methods: ${allowed}.`,
  internal: 'Try again later. Nothing in your request is known to be wrong.',

  // One field
  missing: 'Give this field: it is missing.',
  unknownField: 'Leave this field out, or correct its name: it is not known here.',
  wrongKind: {
    string: 'Give a text.',
    number: 'Give a number.',
    finite: 'Give a finite number.',
    int: 'Give a whole number.',
    boolean: 'Give true or false.',
    array: 'Give a list.',
    object: 'Give an object.',
    null: 'Give null.',
    other: 'Give a value of another type.',
  },
  numberAtLeast: (least: number) => `Give a number of at least ${least}.`,
  numberAbove: (bound: number) => `Give a number above ${bound}.`,
  numberAtMost: (most: number) => `Give a number of at most ${most}.`,
  numberBelow: (bound: number) => `Give a number below ${bound}.`,
  listExactly: (length: number) => `Give exactly ${length} items.`,
  listAtLeast: (least: number) =>
    count(least, 'Give at least one item.', `Give at least ${least} items.`),
  listAtMost: (most: number) => `Give at most ${most} items.`,
  textAtLeast: (least: number) =>
    count(least, 'Give a text that is not empty.', `Give at least ${least} characters.`),
  textAtMost: (most: number) => `Give at most ${most} characters.`,
  oneOfValues: (values: string) => `Give one of these: ${values}.`,
  wrongForm: 'Give a text of the form that is described.',
  notValid: 'Give another value: this one is not valid.',
  notInstant: 'Give an instant with its offset, such as 2027-01-14T17:30:00-04:00 (RFC 3339).',
  noSuchInstant: 'Give an instant that exists: this day or time does not.',
  leapSecond: 'Give the second before: a leap second (:60) is not taken.',
  yearOutOfRange: (first: number, last: number) => `Give a year from ${first} to ${last}.`,
  notDate: 'Give a day that exists, such as 2027-01-14.',
  unknownZone:
    'Give a time zone by its IANA name, region and city, such as America/Halifax; abbreviations such as EST are not taken.',
  notClock: 'Give a clock time from 00:00 to 23:59.',
  oneLine: 'Give one line without control characters.',
  plainText: 'Give a text without control characters.',
  notLoad: 'Give the load as one of kw, steps or days.',
  notMargin: 'Give the margin as one of pct, kwh or hours.',
  notAnnouncement: 'Give start and end, or text.',
  spanReversed: 'Give an end that is after the start.',
  eventTooLong: (mostHours: number) => `Give an event of at most ${mostHours} hours.`,
  previousReadingLater:
    'Give a previous reading from before the reading, and from at most a day before it.',
  sameClock: 'Give an end that differs from the start.',
  repeatedStart: 'Give each start once: two steps begin at this instant.',
  repeatedDay: 'Give each day of the week once, 1 for Monday to 7 for Sunday.',
  notCurrency: 'Give the currency by its three letters: CAD, EUR.',
  notSolar: 'Give kwhPerDay alone, or kwp, tiltDeg, azimuthDeg, latitude and longitude together.',
  repeatedDate: 'Give each day once: this one stands in the list twice.',
  nothingToChange: 'Give at least one field to change.',
  zoneWithDays: 'Give timeZone too: load.days are on the local clock.',
  ratesWithCheapest: 'Give unitRates too: the cheapest hold depends on them.',
  ratesWithReward: 'Give unitRates too: what the plan is worth depends on them.',
  cheapestWithActions: 'Give true, or leave maxActions out: more actions only make a hold cheaper.',
  baselineForEach: 'Give a baseline for each event, null where there is none.',

  // What the planner refuses
  eventOver: (end: string, now: string) =>
    `Give an event that is not over: this one ended at ${end}, and it is ${now}.`,
  eventsOverlap: (other: string) => `Give events that do not overlap: this one overlaps ${other}.`,
  readingInFuture: (at: string, now: string) =>
    `Give a reading that is not later than now: it is of ${at}, and it is ${now}.`,
  taperWithoutLimit: 'Give maxChargeKw too: a taper begins at the charge limit.',
  taperOverLimit: (toKw: number, maxChargeKw: number) =>
    `Give a toKw that is not over maxChargeKw: ${toKw} is over ${maxChargeKw}.`,
  topUpWithoutLimit: 'Give maxChargeKw too: a top-up charges at that power.',
  noComparableDay:
    "Give past days of the same kind (weekday or weekend) as the event's day, at most 120 days before it: there are none.",
  daysTooFarAhead: (mostDays: number) =>
    `Give load as kw or steps: past days are laid over at most ${mostDays} days from the reading to the last event.`,
  cheapestWithDays:
    'Give load as kw or steps, or leave cheapest out: it is not looked for over past days.',

  // What a household refuses
  unknownEvent: 'Use the id of an event of this household: there is none with this one.',
  eventCancelled: 'Announce the event again: this one is cancelled.',
  eventIsOver: (end: string) => `Give an event that is not over: this one ended at ${end}.`,
  tooManyEvents: (most: number) =>
    `Cancel an event first: at most ${most} can be announced at a time.`,
  tooFarAhead: (mostDays: number) =>
    `Announce the event later: it begins more than ${mostDays} days from now.`,
  overlapsAnnounced: (id: string) => `Move or cancel event ${id} first: it is at the same time.`,
  socPctRange: 'Give a charge from 0 to 100 %.',
  readingAhead: (at: string) => `Give a reading that is not later than now: this one is of ${at}.`,
  readingTooOld: (at: string) => `Give a reading of the last day: this one is of ${at}.`,
  readingSuperseded: (newerAt: string) =>
    `Give a newer reading: there is one of ${newerAt} already.`,
  unknownReminder: 'Use the key of a reminder of this household: there is none with this one.',
  reminderClosed: (state: string) =>
    `Nothing is left to do: this reminder is no longer open, its state is ${state}.`,
  snoozeOutOfRange: 'Give from 1 to 1440 minutes.',
  unknownChannel: 'Use the id of a channel of this household: there is none with this one.',
  tooManyChannels: (limit: number) => `Remove a channel first: there are ${limit} already.`,
  webhook: {
    unreadable: 'Give a complete address that begins with https://.',
    notHttps: 'Give an address that begins with https://.',
    userOrPassword: 'Give an address without a user name or password in it.',
    port: 'Give an address without a port.',
    numberAddress: 'Give an address by its name, not by its number.',
    innerName: 'Give an address on the public internet: this name is for a network of its own.',
    ownHost: 'Give an address of your own: this one leads back here.',
  },

  loadStartsLate:
    'The first step of the load starts after the reading: until then its power is taken to be the same.',

  worthTooFar: (mostDays: number) =>
    `Ask for worth later: an event is more than ${mostDays} days away, and that far nothing is counted.`,

  /** Why the confidence asked for is not promised. */
  unpromised: (why: Unpromised): string =>
    why.reason === 'too_few_days'
      ? `Give more past days: ${why.days} comparable ones are too few for this confidence, ${why.needed} are needed. Until then the earliest of them counts, and the margin.`
      : `Hold earlier where you can: played back, this plan covered the event on ${why.coveredOn} of ${why.days} days, fewer than you asked for.`,

  /** Why the hold is the latest safe one after all. */
  notCheapest: {
    top_up:
      'The hold is the latest, not the cheapest: a charge window lies between now and the event.',
    surplus:
      'The hold is the latest, not the cheapest: it has to begin while the sun still charges the battery.',
    more_than_a_day:
      'The hold is the latest, not the cheapest: the event is more than a day away. Ask again within a day of it.',
    too_many_steps:
      'The hold is the latest, not the cheapest: load and rates have too many steps. Give five minutes or longer each, or ask for fewer actions.',
  } satisfies Record<NotCheapest, string>,

  /** What to know about a plan that was computed all the same. */
  caution: (f: Format, caution: Caution): string => {
    switch (caution.kind) {
      case 'load-over-limit':
        return `The house is expected to draw ${f.kw(caution.loadKw)} in the event, over the inverter's ${f.kw(caution.limitKw)}: the rest comes from the grid whatever is kept.`
      case 'old-reading':
        return `The reading is ${f.duration(caution.hours)} old: look again, the time to hold may have moved.`
      case 'nobody-in-reach':
        return `Nobody can reach the inverter between now and the release of event ${caution.event + 1}: ask somebody to, or hold before leaving.`
    }
  },
} as const
