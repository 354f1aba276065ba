// The API under test, one valid request, and a household in memory behind its door.

import { checkAddress } from '../../src/delivery/index.ts'
import { asInstant, ok, refuse } from '../../src/plan/index.ts'
import type { Instant } from '../../src/plan/index.ts'
import type { Household, HouseholdEvent, Reminder, Settings } from '../../src/reminder/index.ts'
import { apiApp } from '../../src/web/api/index.ts'
import type { ApiTools, Command, HouseholdDoor } from '../../src/web/api/index.ts'

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
  let household: Household | null = null
  const door: HouseholdDoor = {
    read: async () => existing(household),
    perform: async (command) => {
      sent.push(command)
      const done = perform(existing(household), command)
      if (done.ok) household = done.value
      return done
    },
    say: async (text) => [
      { text: `You said: ${text}`, buttons: [{ label: 'Done', send: 'done' }] },
    ],
    erase: async () => {
      household = null
    },
  }
  const tools: ApiTools = {
    version: '9.8.7',
    now: () => NOW,
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
      body: (read === '' ? null : JSON.parse(read)) as Json & {
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
}

const householdOf = (settings: Settings): Household => ({
  id: 'h1',
  settings,
  events: [],
  readings: [],
  reminders: [reminder],
  messages: [],
  deliveries: [],
  revision: 0,
  plan: null,
})

// Enough of a household to answer the API: the real decisions have their own tests.
function perform(
  household: Household,
  command: Command,
): ReturnType<HouseholdDoor['perform']> extends Promise<infer R> ? R : never {
  const event = (id: string) => household.events.find((each) => each.id === id)
  const changed = (id: string, change: Partial<HouseholdEvent>) =>
    ok({
      ...household,
      events: household.events.map((each) => (each.id === id ? { ...each, ...change } : each)),
    })
  switch (command.type) {
    case 'announce': {
      const { start, end } = command
      if (end <= start) return refuse({ reason: 'event_reversed' })
      if (end <= NOW) return refuse({ reason: 'event_over', end, now: NOW })
      const other = household.events.find((each) => each.start < end && start < each.end)
      if (other !== undefined) return refuse({ reason: 'events_overlap', eventId: other.id })
      return ok({
        ...household,
        events: [
          ...household.events,
          {
            id: `e${household.events.length + 1}`,
            start,
            end,
            state: 'announced',
            sequence: 0,
            changedAt: NOW,
            heldAt: null,
            releasedAt: null,
            outcomePct: null,
          },
        ],
      })
    }
    case 'move':
      return changed(command.eventId, { start: command.start, end: command.end, sequence: 1 })
    case 'cancel':
      if (event(command.eventId) === undefined)
        return refuse({ reason: 'unknown_event', eventId: command.eventId })
      return changed(command.eventId, { state: 'cancelled', sequence: 1 })
    case 'reading':
      if (command.at > NOW) return refuse({ reason: 'reading_in_future', at: command.at, now: NOW })
      return ok({
        ...household,
        readings: [
          ...household.readings,
          { at: command.at, socPct: command.socPct, reckoned: false },
        ],
      })
    case 'acknowledge':
    case 'snooze':
      if (command.key !== reminder.key)
        return refuse({ reason: 'unknown_reminder', key: command.key })
      if (command.type === 'snooze' && command.minutes > 60)
        return refuse({ reason: 'snooze_too_long', uselessAfter: reminder.uselessAfter })
      return ok({
        ...household,
        reminders: [
          command.type === 'snooze'
            ? reminder
            : { ...reminder, state: 'acknowledged', acknowledgedBy: command.by },
        ],
      })
    case 'settings':
      return ok({ ...household, settings: command.settings })
  }
}
