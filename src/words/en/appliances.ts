// What fits under the inverter's limit, what draws from the grid anyway, and what comes first. Whole sentences.

const decimals = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 2 })
const whole = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 0 })
const and = new Intl.ListFormat('en-GB', { type: 'conjunction' })
const or = new Intl.ListFormat('en-GB', { type: 'disjunction' })

const begin = (text: string) => text.slice(0, 1).toUpperCase() + text.slice(1)

export const applianceWords = {
  // A no-break space, so that a figure is never parted from its unit.
  kw: (value: number) => `${decimals.format(value)}\u00a0kW`,
  kwh: (value: number) => `${decimals.format(value)}\u00a0kWh`,
  /** Of the battery: `26 %`, `under 1 %`, or `more than all`. */
  share: (value: number) => {
    if (value > 100) return 'more than all'
    return value < 1 ? 'under 1\u00a0%' : `${whole.format(value)}\u00a0%`
  },

  name: {
    kettle: 'a kettle',
    microwave: 'a microwave',
    hob: 'a hob',
    oven: 'an oven',
    iron: 'an iron',
    vacuum: 'a vacuum cleaner',
    television: 'a television',
    computer: 'a computer',
    dishwasher: 'a dishwasher',
    washingMachine: 'a washing machine',
    tumbleDryer: 'a tumble dryer',
    immersionHeater: 'an immersion heater',
    electricHeater: 'an electric heater',
    electricShower: 'an electric shower',
    storageHeaters: 'a set of storage heaters',
  },
  /** `a kettle (2 kW)` */
  withPower: (name: string, power: string) => `${name} (${power})`,

  room: (background: string, limit: string, left: string) =>
    `With ${background} running already, the inverter’s ${limit} leave ${left}.`,
  full: (background: string, limit: string) =>
    `With ${background} running already, the inverter’s ${limit} are used up: whatever else is switched on draws from the grid.`,
  over: (background: string, limit: string, grid: string) =>
    `With ${background} running already, ${grid} over the inverter’s ${limit} come from the grid, whatever is kept, and so does whatever else is switched on.`,
  noLimit: 'No limit is known for the inverter, so it is not known what fits.',

  fit: (appliances: readonly string[]) =>
    appliances.length === 1
      ? `${begin(and.format(appliances))} fits.`
      : `${begin(and.format(appliances))} fit, one at a time.`,
  fromGrid: (name: string, power: string, grid: string) =>
    `${begin(name)} (${power}) draws ${grid} from the grid, whatever is kept.`,
  fromGridEach: (shares: readonly string[]) =>
    `These draw from the grid, whatever is kept: ${and.format(shares)}.`,
  /** `a hob 0.9 kW of its 2.4 kW` */
  shareFromGrid: (name: string, power: string, grid: string) => `${name} ${grid} of its ${power}`,
  notEnough: (above: string, appliances: readonly string[]) =>
    `Only ${above} is left above the reserve: one go of ${or.format(appliances)} takes more.`,

  nothingAbove:
    'Nothing is left above the reserve: what is used on top comes out of the margin, and then from the grid.',

  goAbove: (energy: string, above: string) =>
    `One go takes ${energy} of the ${above} that the plan has above the reserve.`,
  goMargin: (energy: string, spare: string) =>
    `One go takes ${energy}, and ${spare} is to spare, the margin included.`,
  goTooMuch: (energy: string, spare: string) =>
    `Better after the event: one go takes ${energy}, and only ${spare} is to spare, the margin included.`,

  heading: 'What fits in the event',
  goes: 'What one go takes',
  whereLimit:
    'The inverter’s limit is on its data sheet, as the most it can give, in kW: enter it in the settings to know what fits.',
  noEvent: 'No event is announced, so use what you like. In one it would be so:',

  /** What one go costs: `A kettle, 3 min: 0.11 kWh, 1 % of the battery.` */
  cycle: (name: string, length: string, energy: string, share: string) =>
    `${begin(name)}, ${length}: ${energy}, ${share} of the battery.`,

  started:
    'What was started before the event still draws in it: have the wash and the dishes done by then, or start them afterwards.',
  typical:
    'These are typical figures. The plate on an appliance gives the most that it draws; one with a heater draws that only while it heats.',
  first:
    'Warmth for those who need it, and food, come first: nobody should be cold or hungry for an event.',
  source:
    'Typical powers: a model of domestic electricity use, measured against 22 British homes (Energy and Buildings 42, 2010, 1878–1887).',
} as const
