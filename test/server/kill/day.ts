// A compressed event day of one household: one event after another, each with a hold soon after it is announced; some are
// moved or cancelled after they were held, and for some nobody is at home.

import type { Chance } from '../../simulator/random.ts'
import type { ServerClock } from './clock.ts'
import type { EventSeen, Known } from './facts.ts'
import type { Ending, House } from './house.ts'
import type { Pause, Person } from './person.ts'

const MINUTE_MS = 60_000
const LOOK_MS = 250
const TRY_AGAIN_MS = 700

// Minutes from the announcement on. A hold is asked for ten minutes before it has to be done (R3), a release two
// minutes before its time (R4), which is five before the start; an outcome five after the end (R6).
const HOLD_BY = 14
const STARTS = 33
const LASTS = 10
const OUTCOME = 7
const MOVED_BY = 8

// README.md of `plan`, H: 10 % for the floor, 5 % margin, 95 % efficiency, of the household in house.ts.
const DRAWN_KW = 0.8 / 0.95
const reservePct = (lasts: number) => ((0.96 + 0.48 + (DRAWN_KW * (lasts + 5)) / 60) / 9.6) * 100

type Variant = 'plain' | 'moved' | 'cancelled' | 'away'

export type Day = {
  readonly house: House
  readonly person: Person
  readonly clock: ServerClock
  readonly chance: Chance
  readonly pause: Pause
  readonly known: Known
  readonly tell: (line: string) => void
}

/** What the display has to show now for a hold that has to be done so many minutes from now; to one decimal. */
export const showsFor = (minutes: number): number =>
  Math.round((reservePct(LASTS) + ((DRAWN_KW * minutes) / 60 / 9.6) * 100) * 10) / 10

/** One event from its announcement until all that is asked for it is over. Stops when the run does. */
export async function eventOf(day: Day, variant: Variant): Promise<void> {
  const { house, person, clock, pause, tell, known } = day
  person.away = variant === 'away'
  if (!(await taken(day, () => house.read(showsFor(HOLD_BY))))) return
  const start = roundUp(clock.now() + STARTS * MINUTE_MS)
  const end = start + LASTS * MINUTE_MS
  const announced = await taken(day, () => house.announce(start, end))
  if (!announced) return
  const { id } = announced.json as EventSeen
  tell(`${house.name}: ${id} is ${variant}`)
  const isHeld = () =>
    known.answers.some(
      ({ household, key }) => household === house.id && key.startsWith(`hold-${id}-`),
    )
  // Changed as soon as it was held, in the middle between hold and release at the latest.
  const latest = start - 12 * MINUTE_MS
  if (variant === 'moved' || variant === 'cancelled') {
    while (!isHeld() && clock.now() < latest) if (!(await pause(LOOK_MS))) return
    if (variant === 'cancelled') {
      await taken(day, () => house.cancel(id))
      await until(day, clock.now() + OUTCOME * MINUTE_MS)
      return
    }
    const by = MOVED_BY * MINUTE_MS
    await taken(day, () => house.move(id, start + by, end + by))
    await until(day, end + by + OUTCOME * MINUTE_MS)
    return
  }
  await until(day, end + OUTCOME * MINUTE_MS)
}

export const drawVariant = (chance: Chance): Variant =>
  chance.one(['plain', 'plain', 'moved', 'cancelled', 'away'])

const roundUp = (at: number): number => Math.ceil(at / MINUTE_MS) * MINUTE_MS

async function until({ clock, pause }: Day, at: number): Promise<void> {
  while (clock.now() < at) if (!(await pause(LOOK_MS))) return
}

/** Tries until it is taken; `null` if it is refused or the run ends before. */
async function taken(
  { pause, tell, house }: Day,
  call: () => Promise<Ending>,
): Promise<Extract<Ending, { kind: 'taken' }> | null> {
  for (;;) {
    const ending = await call()
    if (ending.kind === 'taken') return ending
    if (ending.kind === 'refused') {
      tell(`${house.name}: refused ${String(call)}`)
      return null
    }
    if (!(await pause(TRY_AGAIN_MS))) return null
  }
}
