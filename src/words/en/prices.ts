// What the page of prices says: rates by time of use, where charging by hand is welcome, and what to do with them.

export const pricesWords = {
  title: 'Prices and charging by hand',
  link: 'Prices',
  back: 'Back to the plan, without a change',
  why: 'With prices the plan can say what a charge costs, and hold where it costs least. All of it is optional.',
  rates: 'What a kWh costs',
  currency: 'Currency',
  currencyHint: 'Three letters, such as CAD, GBP or EUR.',
  perKwh: 'Usual price of a kWh',
  perKwhHint: 'In whole units of the currency: 0.18 for 18 cents.',
  bands: 'Other prices at other times',
  bandsHint: 'Off-peak, peak. Where two overlap, the upper one counts.',
  band: (n: number) => `Other price, row ${n}`,
  price: 'Price of a kWh',
  topUp: 'When are you willing to charge it by hand?',
  topUpHint:
    'If there is not enough for an event, you are reminded the evening before to charge it from the grid in these hours. Leave it empty if you do not want that, or if your tariff or scheme does not allow it.',
  topUpRow: (n: number) => `Charging hours, row ${n}`,
  maxChargeKw: 'The most it can charge with (kW)',
  maxChargeKwHint:
    'From the inverter’s data sheet. Without it nothing can be worked out for charging.',
  freezing: 'A battery is not charged below 0 °C; what its maker says comes first.',
  holding: 'Holding',
  cheapest: 'Hold where it costs least, not as late as is safe',
  maxActions: 'How many times are you willing to touch it before an event?',
  maxActionsHint:
    'Holding and letting it run again are two. With four or six it may be held more than once.',
  actions: { 2: 'twice', 4: 'four times', 6: 'six times' },
  rewardPerKwh: 'What does the scheme pay for each kWh saved?',
  rewardHint: 'In the same currency. Leave it empty if you do not know.',
  saved: 'Saved.',
  save: 'Save',
  saveMore: 'Save and add another row',

  wrong: {
    currency:
      'Give the currency as three capital letters, such as CAD, with the prices; or leave all prices empty',
    perKwh: 'Give the usual price of a kWh as a number, such as 0.18; or leave all prices empty',
    days: 'Tick the days on which it begins',
    times: 'Give both times, not the same, such as 23:00 and 07:00; or clear the row',
    price: 'Give the price of a kWh in these hours as a number, such as 0.09; or clear the row',
    maxChargeKw:
      'Give the most it can charge with in kW, more than 0 and at most 1000: without it there can be no charging hours and no slower end of charging',
    maxActions: 'Choose how many times you are willing to touch it',
    rewardPerKwh:
      'Give what the scheme pays for a kWh as a number, such as 1.50, or leave it empty',
    tooMany: 'There are more rows than can be kept: take some away',
  },

  // In the conversation
  none: 'No prices are known. Give them on the page /prices.',
  now: (price: string, until: string) => `A kWh costs ${price} now, until ${until}.`,
  always: (price: string) => `A kWh costs ${price}.`,
  charging: (span: string) => `You are willing to charge it by hand next ${span}.`,
  more: 'Change it on the page /prices.',
} as const
