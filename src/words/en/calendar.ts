// What the calendar feed says, in English. Titles are read at a glance among other appointments.
// Times, shares and powers arrive formatted (format.ts).

export const calendarWords = {
  feedName: (household: string) => `${household}: battery events`,

  eventTitle: 'Use little from the grid',
  eventDetail: (range: string) => `Use little or nothing from the grid, ${range}.`,
  noHold: 'No need to hold: the battery is expected to have enough.',
  short: (until: string, load: string) =>
    `The battery is expected to last until ${until}. Stay under ${load} and it lasts to the end.`,

  holdTitle: (by: string, pct: string) => `Hold the battery (by ${by}, or when it shows ${pct})`,
  holdDetail: (by: string, pct: string, range: string) =>
    `Hold by ${by}, or as soon as it shows ${pct}. It keeps the charge for the event ${range}.`,
  heldTitle: 'The battery is on hold',
  heldDetail: (since: string) => `On hold since ${since}.`,

  releaseTitle: (at: string) => `Let the battery run again (at ${at})`,
  releaseDetail: (at: string, start: string) =>
    `Let the battery run again at ${at}. The event starts at ${start}.`,

  cancelledEventTitle: 'Cancelled: use little from the grid',
  cancelledHoldTitle: 'Cancelled: hold the battery',
  cancelledReleaseTitle: 'Cancelled: let the battery run again',
  cancelledDetail:
    'The event is cancelled: nothing to do. If the battery is on hold, let it run again.',

  howTo: (ownWords: string) => `How to do it: ${ownWords}`,
  /** Subscribed calendars are fetched hours apart, some once a day. */
  mayBeOld: (page: string) => `A calendar can be hours behind. The plan as it is now: ${page}`,
} as const
