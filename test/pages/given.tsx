// A household of the worked example, and every page rendered as text.

import { NO_HABITS } from '../../src/reminder/index.ts'
import type {
  Delivery,
  Household,
  HouseholdChannel,
  HouseholdEvent,
  Reminder,
} from '../../src/reminder/index.ts'
import { MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import {
  AnswerPage,
  ChannelsPage,
  ChatLinkPage,
  DoorsPage,
  MeterPage,
  OneButtonPage,
  OpenPage,
  PeoplePage,
  PlanPage,
  PricesPage,
  ProblemPage,
  SetupPage,
  SunPage,
  WebhookSecretPage,
  WelcomePage,
  setupDefaults,
} from '../../src/web/pages/index.ts'
import type {
  AnswerPageProps,
  ChannelsPageProps,
  MeterPageProps,
  PlanPageProps,
} from '../../src/web/pages/index.ts'
import { peopleOn, peopleTyped } from '../../src/web/peopleForm.ts'
import { pricesTyped } from '../../src/web/pricesForm.ts'
import { type Typed, rowsOf } from '../../src/web/rowsForm.ts'
import { answerPageWords, format } from '../../src/words/index.ts'
import { NOON, ZONE, at, battery, planned, worked } from '../chart/given.ts'

export { NOON, at }

export const HOSTILE = `"><script>alert('x')</script><img src=x onerror=alert(1)>`

export const event: HouseholdEvent = {
  id: 'e1',
  start: at('2027-01-14T17:30:00-04:00'),
  end: at('2027-01-14T18:30:00-04:00'),
  state: 'announced',
  sequence: 0,
  changedAt: NOON,
  heldAt: null,
  releasedAt: null,
  outcomePct: null,
}

export const reminder = (
  kind: Reminder['kind'],
  dueAt: string,
  more: Partial<Reminder> = {},
): Reminder => ({
  key: `${kind}-e1-1`,
  kind,
  eventId: 'e1',
  dueAt: at(dueAt),
  uselessAfter: event.end,
  state: 'waiting',
  text: null,
  sentAt: null,
  nextAt: at(dueAt),
  repeat: 0,
  acknowledgedAt: null,
  acknowledgedBy: null,
  missedBecause: null,
  ...more,
})

export const household: Household = {
  id: 'h1',
  settings: {
    name: 'Terrace',
    timeZone: ZONE,
    language: 'en',
    dayFirst: true,
    battery,
    loadKw: 0.8,
    nightCharge: null,
    margin: { pct: 5 },
    rule: null,
    releaseLeadMinutes: 5,
    howToHold: 'panel in the hall, discharge off',
    howToRelease: 'panel in the hall, discharge on',
    medical: false,
    webhook: null,
    calendarAlarms: false,
    ...NO_HABITS,
    demo: false,
  },
  events: [event],
  readings: [{ at: NOON, socPct: 55, reckoned: false }],
  reminders: [
    reminder('hold', '2027-01-14T16:28:00-04:00'),
    reminder('release', '2027-01-14T17:25:00-04:00'),
  ],
  messages: [
    {
      seq: 1,
      at: asInstant(NOON - MINUTE_MS),
      from: 'household',
      text: '55',
      buttons: [],
      reminderKey: null,
    },
    {
      seq: 2,
      at: NOON,
      from: 'holdbell',
      text: 'Noted.',
      buttons: [{ label: 'Change it', send: 'change' }],
      reminderKey: null,
    },
  ],
  deliveries: [],
  channels: [],
  meter: null,
  revision: 3,
  plan: { at: NOON, eventIds: ['e1'], plan: planned(worked) },
}

/** What was understood of a file of ours, with everything in it that can be told. */
export const report: NonNullable<MeterPageProps['last']> = {
  understood: {
    form: 'row-per-interval',
    delimiter: ',',
    columns: [
      { name: 'time', role: 'time' },
      { name: 'usage', role: 'energy' },
    ],
    unit: 'kWh',
    minutes: 30,
    stamps: 'start',
    clock: 'local',
    dateOrder: 'day-first',
    flow: 'import',
    notMeasured: 3,
  },
  at: NOON,
  from: at('2024-01-01T00:00:00-04:00'),
  until: at('2027-01-14T00:00:00-04:00'),
  intervals: 30000,
  days: { count: 700, from: '2024-01-01', until: '2027-01-13' },
  gaps: {
    count: 7,
    first: Array.from({ length: 7 }, (_, i) => ({
      start: at(`2024-03-0${i + 1}T12:00:00-04:00`),
      end: at(`2024-03-0${i + 1}T13:00:00-04:00`),
    })),
  },
  longestGap: { start: at('2025-01-01T00:00:00-04:00'), end: at('2026-01-01T00:00:00-04:00') },
  duplicates: { equal: 1, different: { count: 2, first: [] } },
  skippedRows: { count: 1, first: [{ line: 1234, reason: 'not-a-number', text: HOSTILE }] },
  ahead: 5,
  newHalfHours: 96,
  replacedHalfHours: 4,
  tooOldHalfHours: 0,
  newDays: 2,
}

export const meter: NonNullable<Household['meter']> = {
  takenAt: NOON,
  from: '2024-01-01',
  until: '2027-01-13',
  wholeDays: 700,
  missingDays: 409,
  idleShare: 0,
  days: [],
}

export const meterPage = (more: Partial<MeterPageProps> = {}, kept: Household['meter'] = meter) =>
  String(
    <MeterPage
      household={{ ...household, meter: kept }}
      now={NOON}
      csrf="c5rf"
      last={kept === null ? null : report}
      open={null}
      {...more}
    />,
  )

export const planPage = (more: Partial<Household> = {}, props: Partial<PlanPageProps> = {}) =>
  String(
    <PlanPage
      household={{ ...household, ...more }}
      now={NOON}
      csrf="c5rf"
      links={{ calendarUrl: 'https://holdbell.example/calendar/abc.ics' }}
      {...props}
    />,
  )

export const sentHold = reminder('hold', '2027-01-14T16:28:00-04:00', {
  state: 'sent',
  sentAt: at('2027-01-14T16:28:00-04:00'),
})

export const setupPage = (props: Partial<Parameters<typeof SetupPage>[0]> = {}) =>
  String(
    <SetupPage
      values={setupDefaults}
      errors={[]}
      medicalAnswer={null}
      zones={['America/Halifax', 'Europe/London']}
      csrf="c5rf"
      {...props}
    />,
  )

export const welcomePage = (link = 'https://holdbell.example/open#abc') =>
  String(
    <WelcomePage link={link} calendarUrl={link} webhookSecret="whsec_abc" coverHours={2 + 2 / 3} />,
  )

export const sunPage = (props: Partial<Parameters<typeof SunPage>[0]> = {}) =>
  String(
    <SunPage
      typed={{ kind: 'none', latitude: '44.65', longitude: '-63.6' }}
      errors={[]}
      expected={[]}
      about
      saved={false}
      csrf="c5rf"
      lang="en"
      {...props}
    />,
  )

export const channel = (id: string, more: Partial<HouseholdChannel> = {}): HouseholdChannel => ({
  id,
  person: 'Rowan',
  label: 'phone',
  target: { kind: 'telegram', chatId: '77', group: false },
  state: 'on',
  last: null,
  ...more,
})

/** A sending of a reminder that a channel took. */
export const taken = (reminderKey: string, by: string, acceptedAt: string): Delivery => ({
  id: `msg_h1_${reminderKey}_0_${by}`,
  purpose: 'ask',
  reminderKey,
  kind: 'hold',
  repeat: 0,
  channel: by,
  state: 'accepted',
  attempts: 1,
  nextAt: null,
  note: null,
  acceptedAt: at(acceptedAt),
  handle: null,
  doubtful: false,
})

export const NOTHING_SET_UP = { push: null, telegram: false, mail: false }

/** One of each kind, in the states that there are. */
const someChannels = (name: string): readonly HouseholdChannel[] => [
  channel('c1', {
    person: name,
    label: name,
    target: { kind: 'push', endpoint: 'https://push.example.net/x', p256dh: '', auth: '' },
  }),
  channel('c2', { last: { at: NOON, outcome: 'unreachable', note: name } }),
  channel('c3', { target: { kind: 'mail', address: 'ada@example.org' }, state: 'waiting' }),
  channel('c4', {
    target: { kind: 'publish', server: 'https://push.example.org/', topic: 't', token: 's3cret' },
    state: 'off',
    last: { at: NOON, outcome: 'gone', note: 'status 410' },
  }),
]

export const channelsPage = (
  more: Partial<Household> = {},
  props: Partial<ChannelsPageProps> = {},
): string =>
  String(
    <ChannelsPage
      household={{ ...household, ...more }}
      now={NOON}
      setUp={{ push: 'BPk', telegram: true, mail: true }}
      freshTopic="abcdefgh"
      typed={null}
      errors={[]}
      said={null}
      csrf="c5rf"
      {...props}
    />,
  )

export const answerPage = (props: Partial<AnswerPageProps> = {}): string =>
  String(
    <AnswerPage
      household={household}
      reminder={sentHold}
      now={at('2027-01-14T16:20:00-04:00')}
      taps={[{ label: 'Done: it is paused', does: 'done' }]}
      settled="Done: Ada said so at 16:19."
      path="/answer/h/c1/hold-e1-1/code"
      {...props}
    />,
  )

/** Every page, with everything that people can type made hostile. */
const somebody = {
  away: [{ days: [1, 5], from: '08:00', until: '17:00' }],
  absences: [],
  quiet: { from: '22:30', until: '06:30' },
}

const shown = (typed: Typed, wrong: readonly string[]) => ({
  typed,
  rowsOf: (list: string) => rowsOf(typed, list),
  errors: wrong.map((field) => ({ field, message: HOSTILE })),
  saved: wrong.length === 0,
  csrf: 'c5rf',
  lang: 'en',
})

/** The page of people as it comes back with these fields wrong. */
export const peoplePage = (typed: Typed, wrong: readonly string[] = []): string =>
  String(<PeoplePage {...shown(typed, wrong)} people={peopleOn(typed)} />)

export const pricesPage = (typed: Typed, wrong: readonly string[] = []): string =>
  String(<PricesPage {...shown(typed, wrong)} />)

export const everyPage = (): [string, string][] => [
  ['doors', String(<DoorsPage csrf="c5rf" />)],
  ['open', String(<OpenPage csrf="c5rf" errors={[{ field: 'key', message: HOSTILE }]} />)],
  ['problem', String(<ProblemPage heading={HOSTILE} what={HOSTILE} doNext={HOSTILE} />)],
  ['welcome', welcomePage(HOSTILE)],
  ['setup', setupPage({ zones: [HOSTILE] })],
  [
    'settings',
    setupPage({
      action: '/settings',
      heading: HOSTILE,
      medicalAnswer: 'yes',
      values: { name: HOSTILE, howToHold: HOSTILE, capacityKwh: HOSTILE, medical: 'yes' },
      errors: [
        { field: 'capacityKwh', message: HOSTILE },
        { field: 'nightChargeFrom', message: HOSTILE },
      ],
    }),
  ],
  [
    'people',
    peoplePage(
      {
        ...peopleTyped({ ...household.settings, people: [{ ...somebody, name: HOSTILE }] }, NOON),
        'p-0-quiet-from': HOSTILE,
      },
      ['p-0-name', 'p-0-away-0-d1', 'p-0-away-0-from', 'p-0-quiet-until'],
    ),
  ],
  [
    'prices',
    pricesPage({ ...pricesTyped(household.settings), currency: HOSTILE, 'band-0-price': HOSTILE }, [
      'currency',
      'band-0-price',
      'charge-0-d1',
      'maxActions',
    ]),
  ],
  [
    'plan',
    planPage(
      {
        settings: {
          ...household.settings,
          name: HOSTILE,
          howToHold: HOSTILE,
          howToRelease: HOSTILE,
          demo: true,
        },
        events: [event, { ...event, id: HOSTILE, state: 'cancelled', outcomePct: 12 }],
        reminders: [
          { ...sentHold, key: HOSTILE },
          reminder('plan', '2027-01-14T12:00:00-04:00', { state: 'acknowledged', nextAt: null }),
        ],
        messages: [
          {
            seq: 3,
            at: NOON,
            from: 'holdbell',
            text: HOSTILE,
            buttons: [{ label: HOSTILE, send: HOSTILE }],
            reminderKey: null,
          },
        ],
      },
      { rehearsal: true, errors: [{ field: 'socPct', message: HOSTILE }] },
    ),
  ],
  ['meter', meterPage()],
  ['meter without data', meterPage({ done: 'forgotten' }, null)],
  [
    'meter with a question, settings',
    meterPage({
      open: {
        at: NOON,
        question: {
          about: 'kind',
          names: [HOSTILE, 'other'],
          choices: [{ kind: HOSTILE }, { kind: 'other' }],
        },
      },
      errors: [{ field: 'file', message: HOSTILE }],
    }),
  ],
  ['sun', sunPage({ saved: true, expected: [HOSTILE] })],
  [
    'sun with errors, settings',
    sunPage({
      typed: { kind: HOSTILE, kwhPerDay: HOSTILE, facing: HOSTILE, latitude: HOSTILE },
      errors: ['kind', 'kwhPerDay', 'facing'].map((field) => ({ field, message: HOSTILE })),
    }),
  ],
  [
    'channels, settings',
    channelsPage(
      {
        channels: someChannels(HOSTILE),
        settings: {
          ...household.settings,
          people: [{ ...somebody, name: HOSTILE }],
          webhook: { url: 'https://home.example.org/hook', secret: 'whsec_x' },
        },
      },
      { said: HOSTILE },
    ),
  ],
  [
    'channels with errors, settings',
    channelsPage(
      {},
      {
        typed: { form: 'publish', fields: { server: HOSTILE, topic: HOSTILE, other: HOSTILE } },
        errors: [
          'publish-server',
          'publish-topic',
          'publish-token',
          'publish-other',
          'publish-label',
          'push-go',
          'mail-address',
          'telegram-other',
          'webhook-url',
        ].map((field) => ({ field, message: HOSTILE })),
      },
    ),
  ],
  ['channels where nothing is set up', channelsPage({}, { setUp: NOTHING_SET_UP })],
  [
    'chat link, settings',
    String(
      <ChatLinkPage
        person={HOSTILE}
        links={{ alone: 'https://t.me/b?start=x', group: 'https://t.me/b?startgroup=x' }}
        until={NOON}
        f={format('en', ZONE)}
        lang="en"
      />,
    ),
  ],
  ['webhook secret', String(<WebhookSecretPage secret="whsec_abc" lang="en" />)],
  [
    'answer, settings',
    answerPage({
      household: { ...household, settings: { ...household.settings, howToHold: HOSTILE } },
      taps: [{ label: HOSTILE, does: 'done' }],
    }),
  ],
  [
    'answer that was given, settings',
    answerPage({ reminder: { ...sentHold, state: 'acknowledged' }, settled: HOSTILE }),
  ],
  [
    'answer with an error, settings',
    answerPage({
      reminder: { ...sentHold, kind: 'outcome' },
      errors: [{ field: 'socPct', message: HOSTILE }],
      typed: HOSTILE,
    }),
  ],
  [
    'answer: one button',
    String(
      <OneButtonPage
        words={answerPageWords.stop}
        path="/stop/h/c1/code"
        says={{ name: 'List-Unsubscribe', value: 'One-Click' }}
        done={false}
      />,
    ),
  ],
  ['plan without a reading', planPage({ plan: null, readings: [] })],
  ['plan without an event', planPage({ plan: null, events: [], messages: [], reminders: [] })],
]
