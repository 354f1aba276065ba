// What may run in an event: the room that it leaves, and the answer about one appliance or all.

import {
  APPLIANCES,
  type Appliance,
  type ApplianceName,
  type Fit,
  type Room,
  besideBackground,
  sayCycle,
  sayRoom,
} from '../appliances/index.ts'
import type { Instant } from '../plan/index.ts'
import { type Household, formatOf, plannedEvent, upcoming } from '../reminder/index.ts'
import { applianceWords as words } from '../words/index.ts'

/** What the next event leaves to a household's appliances: the inverter's limit, the evening use, and what the plan has above the reserve. */
export function roomOf(household: Household, now: Instant): Room {
  const { battery, loadKw } = household.settings
  const plan = nextPlan(household, now)
  const floorKwh = (battery.capacityKwh * battery.outageReservePct) / 100
  return {
    limitKw: battery.maxDischargeKw,
    backgroundKw: loadKw,
    // What is there at the release, less what is to be there.
    aboveReserveKwh:
      plan === null
        ? null
        : Math.max(0, floorKwh + plan.marginLeftKwh + plan.needKwh - plan.reserveKwh),
    capacityKwh: battery.capacityKwh,
    dischargeEfficiency: battery.dischargeEfficiency,
  }
}

function nextPlan(household: Household, now: Instant) {
  const event = upcoming(household, now)[0]
  return event === undefined ? null : plannedEvent(household, event.id)
}

const WARM: readonly ApplianceName[] = ['electricHeater', 'storageHeaters']
const FOOD: readonly ApplianceName[] = ['kettle', 'microwave', 'hob', 'oven']
/** They run on by themselves. */
const STARTED: readonly ApplianceName[] = ['dishwasher', 'washingMachine', 'tumbleDryer']

/** The answer about one appliance, or about all. Where somebody may be cold that comes first. */
export function applianceAnswer(
  household: Household,
  name: ApplianceName | null,
  now: Instant,
): string {
  const room = roomOf(household, now)
  const where = room.limitKw === Infinity ? [words.whereLimit] : []
  const lines =
    name === null
      ? [...sayRoom(room, besideBackground(room)), ...where, words.first]
      : APPLIANCES.filter((each) => each.name === name).flatMap((each) =>
          oneAnswer(household, each, room, now),
        )
  return [...(upcoming(household, now).length === 0 ? [words.noEvent] : []), ...lines].join(' ')
}

function oneAnswer(
  household: Household,
  appliance: Appliance,
  room: Room,
  now: Instant,
): readonly string[] {
  const { name } = appliance
  // By power alone: the energy has a sentence of its own.
  const byPower = { ...room, aboveReserveKwh: null }
  const fits = besideBackground(byPower, [appliance])
  const [left = '', ...verdict] = sayRoom(byPower, fits)
  const unknown = room.limitKw === Infinity
  const power = unknown ? [words.whereLimit] : [...verdict, left]
  if (WARM.includes(name)) return [words.first, ...power]
  const whole = fits.filter((each) => each.fits)
  const energy = whole.map((fit) => sayEnergy(household, fit, room, now))
  const tooMuch = whole.some(({ cycleKwh }) => cycleKwh > spareKwh(household, now))
  return [
    ...(tooMuch || unknown ? [...energy, ...power] : [...power, ...energy]),
    ...(STARTED.includes(name) ? [words.started] : []),
    ...(FOOD.includes(name) && (tooMuch || whole.length === 0) ? [words.first] : []),
  ]
}

/** Expected above the floor when the event ends, kWh: the margin and what there is over it. No limit without a plan. */
const spareKwh = (household: Household, now: Instant): number =>
  nextPlan(household, now)?.marginLeftKwh ?? Infinity

/** What one go takes, beside what is there for it. */
function sayEnergy(
  household: Household,
  fit: Fit,
  { aboveReserveKwh }: Room,
  now: Instant,
): string {
  const spare = spareKwh(household, now)
  const takes = words.kwh(fit.cycleKwh)
  if (aboveReserveKwh === null) {
    const minutes = fit.appliance.cycle.reduce((sum, phase) => sum + phase.minutes, 0)
    return sayCycle(fit, formatOf(household).duration(minutes / 60))
  }
  if (fit.cycleKwh <= aboveReserveKwh) return words.goAbove(takes, words.kwh(aboveReserveKwh))
  return fit.cycleKwh <= spare
    ? words.goMargin(takes, words.kwh(spare))
    : words.goTooMuch(takes, words.kwh(spare))
}
