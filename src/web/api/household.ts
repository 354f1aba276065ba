// A household's addresses: each opens the door that the token fits, asks or performs, and shows what came of it.

import { Hono } from 'hono'
import type { Context, Handler } from 'hono'
import type { Command, Household } from '../../reminder/index.ts'
import { problemWords as words } from '../../words/en/problems.ts'
import { readBody } from './body.ts'
import { commandProblem } from './commandRefusal.ts'
import type { HouseholdDoor } from './door.ts'
import { notFound, problem, unauthorized } from './problem.ts'
import * as schemas from './schemas/household.ts'
import { changedSettings, newSettings } from './settings.ts'
import type { ApiTools } from './tools.ts'
import { eventView, householdView, planView, reminderView, repliesView } from './view.ts'

const NO_STORE = { 'cache-control': 'no-store' }

/** Who acknowledged, when the caller does not say. */
const UNNAMED = 'API'

export function householdRoutes(tools: ApiTools): Hono {
  const inside = withDoor(tools)
  return new Hono()
    .post('/api/households', async (c) => {
      const asked = await readBody(c, schemas.NewHousehold)
      if (!asked.ok) return problem(c, asked.refusal)
      const settings = newSettings(asked.value, tools)
      if (!settings.ok) return problem(c, settings.refusal)
      return c.json(await tools.createHousehold(settings.value), 201, NO_STORE)
    })
    .get(
      '/api/household',
      inside(async (c, door) => c.json(householdView((await door.read()).household))),
    )
    .patch(
      '/api/household',
      inside(async (c, door) => {
        const change = await readBody(c, schemas.SettingsChange)
        if (!change.ok) return problem(c, change.refusal)
        const before = (await door.read()).household.settings
        const settings = changedSettings(before, change.value, tools)
        if (!settings.ok) return problem(c, settings.refusal)
        const secret = settings.value.webhook?.secret
        const fresh = secret === before.webhook?.secret ? {} : { webhookSecret: secret }
        return perform(
          c,
          door,
          { type: 'settings', settings: settings.value, from: before },
          (household) => c.json({ ...householdView(household), ...fresh }),
        )
      }),
    )
    .delete(
      '/api/household',
      inside(async (c, door) => {
        await door.erase()
        return c.body(null, 204)
      }),
    )
    .post(
      '/api/events',
      inside(async (c, door) => {
        const asked = await readBody(c, schemas.Announcement)
        if (!asked.ok) return problem(c, asked.refusal)
        if ('text' in asked.value) {
          const { seen, replies } = await door.say(asked.value.text)
          const events = seen.household.events.map(eventView)
          return c.json({ events, replies: repliesView(replies) })
        }
        const { start, end } = asked.value
        return perform(c, door, { type: 'announce', start, end }, ({ events }, eventId) => {
          const event = events.find((each) => each.id === eventId)
          if (event === undefined) throw new RangeError('Cannot find the event just announced')
          return c.json(eventView(event), 201, { location: `/api/events/${event.id}` })
        })
      }),
    )
    .patch(
      '/api/events/:id',
      inside(async (c, door) => {
        const change = await readBody(c, schemas.EventChange)
        if (!change.ok) return problem(c, change.refusal)
        const eventId = c.req.param('id') ?? ''
        const event = (await door.read()).household.events.find((each) => each.id === eventId)
        if (event === undefined) return problem(c, notFound(words.unknownEvent))
        const { start = event.start, end = event.end } = change.value
        return perform(c, door, { type: 'move', eventId, start, end }, showEvent(c, eventId))
      }),
    )
    .delete(
      '/api/events/:id',
      inside((c, door) => {
        const eventId = c.req.param('id') ?? ''
        return perform(c, door, { type: 'cancel', eventId }, showEvent(c, eventId))
      }),
    )
    .post(
      '/api/readings',
      inside(async (c, door) => {
        const asked = await readBody(c, schemas.NewReading)
        if (!asked.ok) return problem(c, asked.refusal)
        const { socPct } = asked.value
        // The household's own clock: a rehearsal runs faster than the world.
        const at = asked.value.at ?? (await door.read()).now
        return perform(c, door, { type: 'reading', at, socPct }, (household) =>
          c.json(planView(household)),
        )
      }),
    )
    .post(
      '/api/messages',
      inside(async (c, door) => {
        const asked = await readBody(c, schemas.NewMessage)
        if (!asked.ok) return problem(c, asked.refusal)
        return c.json({ replies: repliesView((await door.say(asked.value.text)).replies) })
      }),
    )
    .get(
      '/api/reminders',
      inside(async (c, door) => c.json((await door.read()).household.reminders.map(reminderView))),
    )
    .post(
      '/api/reminders/:key/acknowledge',
      inside(async (c, door) => {
        const asked = await readBody(c, schemas.Acknowledgement, {})
        if (!asked.ok) return problem(c, asked.refusal)
        const key = c.req.param('key') ?? ''
        const by = asked.value.by ?? UNNAMED
        return perform(c, door, { type: 'acknowledge', key, by }, showReminder(c, key))
      }),
    )
    .post(
      '/api/reminders/:key/snooze',
      inside(async (c, door) => {
        const asked = await readBody(c, schemas.Snooze)
        if (!asked.ok) return problem(c, asked.refusal)
        const key = c.req.param('key') ?? ''
        const { minutes } = asked.value
        return perform(c, door, { type: 'snooze', key, minutes }, showReminder(c, key))
      }),
    )
}

export type Inside = (c: Context, door: HouseholdDoor) => Promise<Response>

// RFC 6750 §2.1: the scheme in any case, then the token.
const BEARER = /^Bearer +([A-Za-z0-9._~+/-]{1,512}=*)$/i

export const withDoor =
  (tools: ApiTools) =>
  (handle: Inside): Handler =>
  async (c) => {
    c.header('cache-control', NO_STORE['cache-control'])
    const header = c.req.header('authorization')
    const token = BEARER.exec(header ?? '')?.[1]
    const door = token === undefined ? null : await tools.open(token)
    return door === null ? problem(c, unauthorized(header !== undefined)) : handle(c, door)
  }

async function perform(
  c: Context,
  door: HouseholdDoor,
  command: Command,
  show: (household: Household, eventId: string | null) => Response,
): Promise<Response> {
  const { outcome, seen } = await door.perform(command)
  return outcome.ok
    ? show(seen.household, outcome.value.eventId)
    : problem(c, commandProblem(outcome.refusal))
}

const showEvent = (c: Context, id: string) => (household: Household) => {
  const event = household.events.find((each) => each.id === id)
  return event === undefined ? problem(c, notFound(words.unknownEvent)) : c.json(eventView(event))
}

const showReminder = (c: Context, key: string) => (household: Household) => {
  const reminder = household.reminders.find((each) => each.key === key)
  return reminder === undefined
    ? problem(c, notFound(words.unknownReminder))
    : c.json(reminderView(reminder))
}
