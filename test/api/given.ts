// The API under test, one valid request, and a household in memory behind its door: its decisions are the
// real ones, what a message means is not.

import { checkAddress } from '../../src/delivery/index.ts'
import { added, csvOf } from '../../src/household/meter.ts'
import { readFile } from '../../src/household/uploads.ts'
import { asInstant } from '../../src/plan/index.ts'
import type { Instant } from '../../src/plan/index.ts'
import { decide } from '../../src/reminder/index.ts'
import type { Command, Household, Reminder, Settings } from '../../src/reminder/index.ts'
import { apiApp } from '../../src/web/api/index.ts'
import type { ApiTools, HouseholdDoor } from '../../src/web/api/index.ts'

export const at = (text: string): Instant => asInstant(Date.parse(text))

export const NOW = at('2027-01-14T13:00:00-04:00')

/** The worked example of the model, §3. */
export const planRequest = () => ({
  now: '2027-01-14T13:00:00-04:00',
  timeZone: 'America/Halifax',
  battery: {
    capacityKwh: 9.6,
    outageReservePct: 10,
    maxDischargeKw: 3.6,
    dischargeEfficiency: 0.95,
  } as Record<string, unknown>,
  reading: { at: '2027-01-14T13:00:00-04:00', socPct: 55 },
  load: { kw: 0.8 } as Record<string, unknown>,
  events: [{ start: '2027-01-14T17:30:00-04:00', end: '2027-01-14T18:30:00-04:00' }],
  margin: { pct: 5 },
  releaseLeadMinutes: 5,
})

export const newHousehold = () => ({
  name: 'Harbour Street',
  timeZone: 'America/Halifax',
  battery: { capacityKwh: 9.6, maxDischargeKw: 3.6 },
  load: { kw: 0.8 },
})

export const TOKEN = 'h1.secret'

type Json = Record<string, unknown>

/** An API over one household in memory; `sent` collects the commands. */
export function api() {
  const sent: Command[] = []
  let secrets = 0
  let series: Uint8Array | null = null
  let household: Household | null = null
  const perform = (command: Command) => {
    sent.push(command)
    const decision = decide(command, existing(household), NOW)
    household = decision.household
    return { outcome: decision.outcome, seen: { household, now: NOW }, replies: [] }
  }
  const door: HouseholdDoor = {
    read: async () => ({ household: existing(household), now: NOW }),
    perform: async (command) => perform(command),
    say: async (text) => ({
      ...perform({ type: 'wake' }),
      replies: [{ text: `You said: ${text}`, buttons: [{ label: 'Done', send: 'done' }] }],
    }),
    // As the household's object does it, without its storage of the question.
    meter: async () => ({
      seen: { household: existing(household), now: NOW },
      last: null,
      open: null,
    }),
    meterFile: async () => (series === null ? '' : csvOf(series)),
    takeMeter: async (file) => {
      const { settings, meter } = existing(household)
      const read = readFile(file, settings)
      if (read.kind !== 'understood') return read
      const result = added(read, series, meter, { timeZone: settings.timeZone, now: NOW })
      if ('reason' in result) return { kind: 'refused', refusal: result }
      series = result.series
      const { seen } = perform({ type: 'meter', meter: result.meter })
      return { kind: 'taken', report: result.report, seen }
    },
    answerMeter: async () => ({ kind: 'closed' }),
    dropMeterFile: async () => {},
    forgetMeter: async () => {
      series = null
      return perform({ type: 'meter', meter: null })
    },
    testChannel: async () => ({ kind: 'no-such-channel' }),
    askMailOwner: async () => ({ kind: 'no-such-channel' }),
    inviteChat: async () => 'not made here',
    removeChannel: async (channelId) => perform({ type: 'remove-channel', channelId }),
    erase: async () => {
      household = null
    },
  }
  const tools: ApiTools = {
    version: '9.8.7',
    createHousehold: async (settings) => {
      household = householdOf(settings)
      return {
        id: 'h1',
        link: 'https://holdbell.example/h/h1.secret',
        token: TOKEN,
        calendar: 'https://holdbell.example/calendar/other.ics',
        ...(settings.webhook && { webhookSecret: settings.webhook.secret }),
      }
    },
    open: async (token) => (household !== null && token === TOKEN ? door : null),
    checkWebhook: (url) => checkAddress(url, { allowLocal: false, ownHost: 'holdbell.example' }),
    newWebhookSecret: () => `whsec_${(secrets += 1)}`,
  }
  const app = apiApp(tools)
  const call = async (method: string, path: string, body?: unknown, headers: Json = {}) => {
    const text =
      typeof body === 'string' || body instanceof Uint8Array ? body : JSON.stringify(body)
    const answer = await app.request(path, {
      method,
      headers: {
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        authorization: `Bearer ${TOKEN}`,
        ...(headers as Record<string, string>),
      },
      ...(body === undefined ? {} : { body: text as BodyInit }),
    })
    const read = await answer.text()
    return {
      status: answer.status,
      headers: answer.headers,
      body: (read === '' ? null : isJson(answer) ? JSON.parse(read) : { text: read }) as Json & {
        errors?: { pointer: string; detail: string }[]
      },
    }
  }
  return {
    app,
    call,
    sent,
    tools,
    household: () => existing(household),
    use: (h: Household) => (household = h),
  }
}

const isJson = (answer: Response) => /json/.test(answer.headers.get('content-type') ?? '')

function existing(household: Household | null): Household {
  if (household === null) throw new Error('there is no household')
  return household
}

export const reminder: Reminder = {
  key: 'hold-e1-1',
  kind: 'hold',
  eventId: 'e1',
  dueAt: at('2027-01-14T20:20:00Z'),
  uselessAfter: at('2027-01-14T21:25:00Z'),
  state: 'sent',
  text: 'Hold by 16:28, or as soon as it shows 25 %.',
  sentAt: at('2027-01-14T20:20:00Z'),
  nextAt: at('2027-01-14T20:25:00Z'),
  repeat: 0,
  acknowledgedAt: null,
  acknowledgedBy: null,
  missedBecause: null,
}

const householdOf = (settings: Settings): Household => ({
  id: 'h1',
  settings,
  events: [],
  readings: [],
  reminders: [reminder],
  messages: [],
  deliveries: [],
  channels: [],
  meter: null,
  revision: 0,
  plan: null,
})
