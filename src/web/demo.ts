// The demo house: invented, to look around in and to rehearse with. A terraced house in Halifax, Nova Scotia.

import { DateTime } from 'luxon'
import type { ClockSetting } from '../clock.ts'
import { type Instant, type Span, asInstant } from '../plan/index.ts'
import { NO_HABITS, type Settings } from '../reminder/index.ts'
import { demoWords } from '../words/index.ts'
import type { HouseholdDoor } from './api/index.ts'
import type { Households } from './households.ts'

const ZONE = 'America/Halifax'

export const demoHouse: Settings = {
  name: demoWords.name,
  timeZone: ZONE,
  language: 'en',
  dayFirst: true,
  battery: {
    capacityKwh: 9.6,
    outageReservePct: 10,
    maxDischargeKw: 3.6,
    maxChargeKw: 3,
    dischargeEfficiency: 0.95,
    chargeEfficiency: 0.95,
    standbyKw: 0,
    taper: null,
  },
  loadKw: 0.8,
  nightCharge: { from: '00:30', until: '05:30' },
  margin: { pct: 5 },
  rule: null,
  releaseLeadMinutes: 5,
  howToHold: demoWords.howToHold,
  howToRelease: demoWords.howToRelease,
  medical: false,
  webhook: null,
  calendarAlarms: false,
  ...NO_HABITS,
  demo: true,
}

/** What its battery shows when somebody walks in, per cent. */
const READING_PCT = 55

/** Half past five to half past six in the evening, so many days after `now`'s. */
function eveningAfter(now: Instant, days: number): Span {
  const day = DateTime.fromMillis(now, { zone: ZONE }).plus({ days })
  const at = (hour: number, minute: number) =>
    asInstant(day.set({ hour, minute, second: 0, millisecond: 0 }).toMillis())
  return { start: at(17, 30), end: at(18, 30) }
}

/** Makes a demo house with an event tomorrow, or today in the rehearsal; answers with its token. */
export async function makeDemo(
  households: Households,
  origin: string,
  rehearsal: ClockSetting | null,
): Promise<string> {
  const { token } = await households.make(demoHouse, origin, rehearsal)
  const door = (await households.open(token)) as HouseholdDoor
  const { now } = await door.read()
  await door.perform({ type: 'reading', at: now, socPct: READING_PCT })
  await door.perform({ type: 'announce', ...eveningAfter(now, rehearsal === null ? 1 : 0) })
  return token
}

/** The event day in about two minutes: fast where nothing happens, slower where somebody is to answer. */
const REHEARSAL_DAY = '2027-01-14'
const REHEARSAL_MARKS: readonly (readonly [seconds: number, clock: string])[] = [
  [0, '13:00'],
  [14, '15:24'],
  [32, '15:40'],
  [38, '16:14'],
  [64, '16:36'],
  [72, '17:20'],
  [94, '17:36'],
  [104, '18:30'],
  [120, '18:45'],
]

export const rehearsalClock = (since: number): ClockSetting => ({
  since,
  marks: REHEARSAL_MARKS.map(([seconds, clock]) => ({
    afterMs: seconds * 1000,
    shows: DateTime.fromISO(`${REHEARSAL_DAY}T${clock}`, { zone: ZONE }).toMillis(),
  })),
})
