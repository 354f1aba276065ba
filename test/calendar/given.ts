// One valid household with one planned event; each test changes one thing.

import { asInstant } from '../../src/plan/index.ts'
import type { EventPlan, Instant } from '../../src/plan/index.ts'
import type { Household, HouseholdEvent, Settings } from '../../src/reminder/index.ts'
import { settings as house } from '../reminder/house.ts'

export const at = (iso: string): Instant => asInstant(Date.parse(iso))

export const NOW = at('2027-01-14T17:00:00Z')
export const PAGE = 'https://holdbell.example/h'

export const settings: Settings = {
  ...house,
  name: 'Terraced house',
  howToHold: 'Open the battery menu, choose pause.',
  howToRelease: 'Open the battery menu, choose run.',
  demo: true,
}

export const event: HouseholdEvent = {
  id: 'e1',
  start: at('2027-01-14T21:30:00Z'),
  end: at('2027-01-14T22:30:00Z'),
  state: 'announced',
  sequence: 0,
  changedAt: at('2027-01-13T12:00:00Z'),
  heldAt: null,
  releasedAt: null,
  outcomePct: null,
}

/** The worked example of the model: hold by 16:28:36 local time, or at 25 %. */
export const eventPlan: EventPlan = {
  start: event.start,
  end: event.end,
  verdict: 'hold',
  needKwh: 0.9123,
  reserveKwh: 2.3523,
  reservePct: 24.503,
  holdBy: at('2027-01-14T20:28:36Z'),
  holdAtPct: 25,
  releaseAt: at('2027-01-14T21:25:00Z'),
  marginLeftKwh: 0.48,
  topUp: null,
  short: null,
}

export const planOf = (
  events: readonly EventPlan[],
  eventIds: readonly string[] = ['e1'],
  planAt: Instant = at('2027-01-14T17:00:00Z'),
): Household['plan'] => ({
  at: planAt,
  eventIds,
  plan: { events, trajectory: [], cautions: [] },
})

type Changes = Partial<Omit<Household, 'settings'>> & { settings?: Partial<Settings> }

export const household = ({ settings: changed, ...changes }: Changes = {}): Household => ({
  id: 'h4f0c2',
  events: [event],
  readings: [],
  reminders: [],
  messages: [],
  deliveries: [],
  channels: [],
  meter: null,
  revision: 3,
  plan: planOf([eventPlan]),
  ...changes,
  settings: { ...settings, ...changed },
})
