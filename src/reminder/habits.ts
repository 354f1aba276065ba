// What a household is used to: who can reach the battery when, what power costs when, where the sun stands. Optional all of it.

import type { Span } from '../plan/index.ts'
import type { Rates, Weekly } from '../schedule/index.ts'

export type { Rates, Weekly }

/** Somebody who can pause the battery and let it run again. */
export type Person = {
  readonly name: string
  /** Every week: at work, on the way. */
  readonly away: readonly Weekly[]
  /** Once: a journey, a night out. */
  readonly absences: readonly Span[]
  /** Asleep or not to be disturbed, every day. */
  readonly quiet: { readonly from: string; readonly until: string } | null
}

export type SolarArray = {
  readonly kwp: number
  /** From level, degrees. */
  readonly tiltDeg: number
  /** From north, clockwise, degrees. */
  readonly azimuthDeg: number
  readonly latitude: number
  readonly longitude: number
}

/** What the sun is expected to give on a day: typed, or an array and its place. */
export type Solar = { readonly kwhPerDay: number } | SolarArray

export type Habits = {
  /** Nobody listed: somebody can always reach it. */
  readonly people: readonly Person[]
  /** Where people are willing to let it charge from the grid by hand. */
  readonly topUpWindows: readonly Weekly[]
  readonly unitRates: Rates | null
  readonly solar: Solar | null
  /** The share of days on which a hold is to be early enough, 0.5 to 0.99; with meter data. */
  readonly confidence: number
  /** How often a reading is asked for before an event at most, 0 to 6. */
  readonly maxReadings: number
  /** Hold where it costs least, not as late as possible; with rates. */
  readonly cheapest: boolean
  /** How often hands may be asked to touch it before an event: two for each hold. */
  readonly maxActions: number
  /** What the scheme pays for a kWh saved, in the currency of the rates. */
  readonly rewardPerKwh: number | null
}

/** A household that said nothing of it. */
export const NO_HABITS: Habits = {
  people: [],
  topUpWindows: [],
  unitRates: null,
  solar: null,
  confidence: 0.9,
  maxReadings: 2,
  cheapest: false,
  maxActions: 2,
  rewardPerKwh: null,
}

/** The habits among a household's settings. */
export const habitsOf = (settings: Habits): Habits => ({
  people: settings.people,
  topUpWindows: settings.topUpWindows,
  unitRates: settings.unitRates,
  solar: settings.solar,
  confidence: settings.confidence,
  maxReadings: settings.maxReadings,
  cheapest: settings.cheapest,
  maxActions: settings.maxActions,
  rewardPerKwh: settings.rewardPerKwh,
})
