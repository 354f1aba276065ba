// Typical powers of what a household switches on. Typical, not this household's: the plate on an appliance gives the most it draws.

/** A stretch of one cycle at one power. */
export type Phase = { readonly watts: number; readonly minutes: number }

/** One cycle (a wash, a kettleful, an evening's television) as phases, in order. */
export type Appliance = { readonly name: ApplianceName; readonly cycle: readonly Phase[] }

export type ApplianceName =
  | 'kettle'
  | 'microwave'
  | 'hob'
  | 'oven'
  | 'iron'
  | 'vacuum'
  | 'television'
  | 'computer'
  | 'dishwasher'
  | 'washingMachine'
  | 'tumbleDryer'
  | 'immersionHeater'
  | 'electricHeater'
  | 'electricShower'
  | 'storageHeaters'

const steady = (name: ApplianceName, watts: number, minutes: number): Appliance => ({
  name,
  cycle: [{ watts, minutes }],
})

/**
 * Mean power and length of a cycle: Richardson, Thomson, Infield and Clifford, "Domestic electricity use", Energy and Buildings 42
 * (2010) 1878-1887, the CREST model's table, as in RWTH-EBC/richardsonpy, inputs/Appliances.csv. What runs anyway
 * (cold appliances, standby) is background load and not in it.
 */
export const APPLIANCES: readonly Appliance[] = [
  steady('kettle', 2000, 3),
  steady('microwave', 1250, 30),
  steady('hob', 2400, 16),
  steady('oven', 2125, 27),
  steady('iron', 1000, 30),
  steady('vacuum', 2000, 20),
  steady('television', 124, 73),
  steady('computer', 141, 300),
  steady('dishwasher', 1131, 60),
  // 406 W over 138 minutes, of which the same model (classes/appliance.py) heats for 21 at 2056 W; the rest in proportion.
  {
    name: 'washingMachine',
    cycle: [
      { watts: 2056, minutes: 21 },
      { watts: (406 * 138 - 2056 * 21) / 117, minutes: 117 },
    ],
  },
  steady('tumbleDryer', 2500, 60),
  steady('immersionHeater', 3000, 20),
  steady('electricHeater', 2000, 240),
  steady('electricShower', 9000, 3),
  steady('storageHeaters', 10_200, 360),
]

/** The most that an appliance draws in its cycle, kW. */
export const peakKw = ({ cycle }: Appliance): number =>
  Math.max(...cycle.map(({ watts }) => watts)) / 1000

/** What one cycle takes at the socket, kWh. */
export const cycleKwh = ({ cycle }: Appliance): number => kwhUnder(cycle, Infinity)

/** The part of a cycle's energy that is drawn at or under a power, kWh. */
export const kwhUnder = (cycle: readonly Phase[], kw: number): number =>
  cycle.reduce((sum, { watts, minutes }) => sum + (Math.min(watts / 1000, kw) * minutes) / 60, 0)
