// What is said of the sun: the page on which a household tells of its panels, and what is expected of them. Energies come as `1.2 kWh`.

const oneDecimal = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 1 })

export const sunWords = {
  title: 'What the sun gives',
  link: 'Sun',
  back: 'Back to the plan',
  why: 'With solar panels the battery lasts longer before you have to hold. The plan counts on little sun: more than that does no harm, less would.',

  question: 'What do you know?',
  kind: {
    none: 'No panels, or do not count on them',
    energy: 'How much they give on a dull day',
    array: 'How large they are, and where',
  },

  kwhPerDay: 'Energy of a day (kWh)',
  kwhPerDayHint:
    'What they give on a dull day in the season of the events. It is spread over the light of the day.',

  kwp: 'Size of all panels together (kWp)',
  kwpHint: 'On the contract or the data sheet. Ten panels of 400 W are 4.',
  tiltDeg: 'How steep (degrees)',
  tiltDegHint: '0 lies flat, 90 stands upright; most roofs are 30 to 45.',
  facing: 'Which way they face',
  facingHint: 'The way you look when you look down their slope.',
  choose: 'Choose',
  compass: [
    'north',
    'north-east',
    'east',
    'south-east',
    'south',
    'south-west',
    'west',
    'north-west',
  ],
  azimuthDeg: 'Or in degrees, if you know them',
  azimuthDegHint: 'From north, clockwise: 90 is east, 180 south. If given, it counts.',
  where: 'Where they are',
  about:
    'About here, going by your time zone. Your own figures are better; one decimal is near enough.',
  whereHint: 'One decimal is near enough. Any map shows both figures.',
  latitude: 'Latitude (degrees)',
  latitudeHint: 'North of the equator as it is, south with a minus: 44.6 or -33.9.',
  longitude: 'Longitude (degrees)',
  longitudeHint: 'East of Greenwich as it is, west with a minus: 151.2 or -63.6.',

  save: 'Save',
  saved: 'Saved. The plan counts on it from now on.',
  savedNone: 'Saved. The plan counts on no sun.',

  wrong: {
    kind: 'Choose which of the figures below is to count, or clear them',
    kwhPerDay: 'Give the energy of a day in kWh, from 0 to 1000, such as 1.5',
    kwp: 'Give the size of the panels in kWp, more than 0 and at most 1000, such as 4',
    tiltDeg: 'Give how steep they are in degrees, from 0 (flat) to 90 (upright), such as 35',
    facing: 'Choose which way they face, or give it in degrees from 0 to 360',
    latitude: 'Give the latitude in degrees, from -90 to 90, such as 44.6',
    longitude: 'Give the longitude in degrees, from -180 to 180, such as -63.6',
  },

  expected: 'What the plan counts on',
  // A no-break space, so that a figure is never parted from its unit.
  kwh: (value: number) => `${oneDecimal.format(value)}\u00a0kWh`,
  today: 'Today',
  on: (day: string) => `On ${day}`,
  nothing: (when: string) => `${when}: nothing.`,
  day: (when: string, energy: string, last: string) =>
    `${when}: about ${energy}, the last of it at ${last}.`,
  inEvent: (range: string, energy: string) => `In the event, ${range}: about ${energy}.`,
  notInEvent: (range: string) => `In the event, ${range}: nothing.`,
  clear: (energy: string) =>
    `That is a dull sky. Under a clear one it would be about ${energy} today.`,
  noPlace:
    'Your time zone names no place, so the light of the day is not known, and nothing is counted on. Choose another time zone in the settings, or tell where the panels are.',

  // In the conversation
  none: 'No sun is counted on. If you have solar panels, tell of them on the page /sun.',
  more: 'Change it on the page /sun.',
} as const
