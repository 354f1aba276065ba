// What reminders and plans say of hands that are gone, and of charging by hand the night before. Whole sentences.

export const reachWords = {
  holdBeforeGone: (gone: string, back: string) =>
    `Nobody can reach it from ${gone} to ${back}: that is why the hold comes before that.`,
  holdWhenBack: (who: string, at: string) =>
    `Nobody can reach it before ${at}, which is late. ${who} can hold it then.`,
  releaseBeforeGone: (gone: string, back: string) =>
    `Nobody can reach it from ${gone} to ${back}, so let it run again before that. A little more charge is kept for it.`,
  nobodyReleases: (gone: string, back: string, release: string) =>
    `Nobody can let it run again just before this event: it is to be at ${release}, and nobody can reach it from ${gone} to ${back}.`,
  nobodyReleasesForLong: (gone: string, release: string) =>
    `Nobody can let it run again just before this event: it is to be at ${release}, and nobody can reach it from ${gone} on.`,
  backFirst: (who: string, at: string, late: string) =>
    `${who} can reach it first, at ${at}: ${late} too late. Being there that much sooner would do.`,
  runsFrom: (gone: string) =>
    `The plan lets it run before ${gone}; from then on it has to carry the house.`,
  schedule: (before: string, release: string) =>
    `Or, if the battery’s own app has a schedule, set it before ${before}: paused until ${release}, then running.`,
  scheduleNow: (release: string) =>
    `Or, if you can reach the battery’s own app from where you are, let it run at ${release} from there.`,
  orSkip: 'Or skip this event: cancel it here, and nothing is asked.',
  topUpWouldDo: {
    'off-peak':
      'A charge from the grid in the off-peak hours before it would cover it: say on the prices page that you are willing.',
    night:
      'A charge from the grid in the night before it would cover it: give the hours on the prices page.',
  },
  notWhenFreezing:
    'Do not charge it below 0 °C; what its maker says about temperature comes first.',
  notCheapest: {
    top_up:
      'The hold is as late as is safe, not the cheapest: charging hours lie before the event.',
    surplus: 'The hold is as late as is safe, not the cheapest: it has to begin while it charges.',
    more_than_a_day:
      'The hold is as late as is safe, not the cheapest: that is looked for within a day of the event.',
    too_many_steps:
      'The hold is as late as is safe, not the cheapest: the prices change too often.',
  },

  onlyOne: (who: string) => `${who} is the only one who can reach it then.`,
  onlySome: (who: string) => `Only ${who} can reach it then.`,

  /** The reminder, where hands are about to be gone. */
  hold: (gone: string, pct: string, back: string, release: string) =>
    `Before you go: hold before ${gone}, or as soon as it shows ${pct}. Nobody can reach it from then until ${back}. Pause the discharge until ${release}.`,
  holdAgain: (gone: string, release: string) =>
    `Not held yet? Nobody can reach it after ${gone}: do it before that, and leave it until ${release}.`,
  release: (gone: string, end: string) =>
    `Before you go: let the battery run again before ${gone}, so that it carries the house until ${end}. Nobody can reach it from then on.`,

  planInTheEvening: (on: string, pct: string, at: string) =>
    `${on}: noted. It takes ${pct} of the battery. At ${at} I will ask what it shows then, and say whether to charge it from the grid before the event, and when to hold.`,
  planBeforeGone: (on: string, gone: string, back: string, pct: string, release: string) =>
    `${on}: hold before ${gone}, or as soon as it shows ${pct}. Nobody can reach it from then until ${back}. Let it run again at ${release}. I will remind you.`,
  planTopUp: (on: string, span: string, pct: string, release: string) =>
    `${on}: charge it from the grid, ${span}, up to ${pct}, and leave it paused until ${release}. I will remind you.`,
  planTopUpShort: (on: string, span: string, pct: string, until: string) =>
    `${on}: there is not enough in the battery for all of it. Charge it from the grid, ${span}, up to ${pct}: it should then last until ${until}. I will remind you.`,

  overnight: {
    tonight: (from: string, until: string, pct: string, release: string) =>
      `Tonight from ${from} at the latest until ${until}: charge the battery from the grid to ${pct}, and leave it paused until ${release}.`,
    later: (span: string, pct: string, release: string) =>
      `${span}: charge the battery from the grid to ${pct}, and leave it paused until ${release}.`,
    takes: (kwh: string) => `It takes about ${kwh} from the grid.`,
    costs: (kwh: string, cost: string) => `It takes about ${kwh} from the grid, about ${cost}.`,
    how: 'If the battery’s own app has a schedule, set it now; if not, start it when you can in that time, and stop it there. Answer “done” when it is set or charging.',
    again: (from: string, pct: string) =>
      `Is the charge to ${pct} set? It has to begin by ${from}.`,
    late: (until: string, pct: string) =>
      `Charge the battery from the grid now, until ${until} or ${pct}.`,
  },
  buttonSet: 'Done: it is set',
  topUpSet: (until: string, plan: string) =>
    `Noted: I count on it being charged by ${until}. ${plan}`,
  missedTopUp:
    'Nobody said that the charge from the grid was set, so I do not count on it. If it was charged all the same, send me what it shows.',
} as const
