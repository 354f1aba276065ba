// What a reminder says: one action, when, until when it is useful. Whole sentences, never pieces.

/** The household's own words for how to do it, as a sentence of its own; nothing when it gave none. */
const how = (words: string) => (words === '' ? '' : ` At home: ${words}`)

export const reminderWords = {
  planHold: (on: string, by: string, pct: string, release: string) =>
    `${on}: hold by ${by}, or as soon as it shows ${pct}. Let it run again at ${release}. I will remind you.`,
  planHoldNow: (on: string, pct: string, left: string, release: string) =>
    `${on}: hold now. The charge to keep is ${pct}; about ${left} of margin will be left. Let it run again at ${release}. I will remind you.`,
  planNoHold: (on: string, pct: string) =>
    `${on}: nothing to pause. The battery should still be above ${pct} when it starts. If it shows ${pct} or less before that, hold it, and tell me "held".`,
  planShort: (on: string, until: string, missing: string, load: string) =>
    `${on}: there is not enough in the battery for all of it. Hold now all the same: it should last until ${until}. ${missing} are missing; under ${load} of use it would last to the end.`,
  planShortLater: (on: string, by: string, until: string, missing: string, load: string) =>
    `${on}: there is not enough in the battery for all of it. Hold by ${by}: it should then last until ${until}. ${missing} are missing; under ${load} of use it would last to the end.`,
  planEmpty: (on: string) =>
    `${on}: the battery has nothing to give for it; it is down to what you keep for a power cut. If it charges before then, send me what it shows.`,
  planHeld: (on: string, release: string, left: string) =>
    `${on}: held. Let it run again at ${release}. About ${left} above what you keep for a power cut should be left at the end. I will remind you.`,
  planHeldShort: (on: string, release: string, until: string) =>
    `${on}: held. Let it run again at ${release}; it should last until ${until}.`,
  planServing: (on: string, left: string) =>
    `${on}: let it run. About ${left} above what you keep for a power cut should be left at the end.`,
  planServingShort: (on: string, until: string) =>
    `${on}: let it run. It should last until ${until}.`,
  planNeedsReading: (on: string, pct: string) =>
    `${on}: noted. It takes ${pct} of the battery. What does it show now? Send me the number, for example 58.`,
  planOnTheDay: (on: string, pct: string, at: string) =>
    `${on}: noted. It takes ${pct} of the battery. At ${at} I will ask what it shows then, and tell you when to hold. If it comes down to ${pct} before that, and will not charge, hold it. If it charges from the grid at night, say when in the settings: then I can plan ahead.`,

  lookNext: (at: string) =>
    `I will ask you to look at it at ${at}; what it shows then usually moves the hold later.`,
  proven: (looks: number, covered: number, days: number) =>
    looks === 0
      ? `This would have worked on ${covered} of your last ${days} days.`
      : `With ${looks === 1 ? 'one look' : `up to ${looks} looks`} at the display this would have worked on ${covered} of your last ${days} days.`,
  provenLess: (covered: number, days: number) =>
    `On your last ${days} days this would have worked on ${covered}, which is less than you asked for: hold earlier where you can.`,
  fedFromElsewhere:
    'Your meter readings show hours in which next to nothing came from the grid: a battery or panels fed the house then, and a meter does not see that. So I plan with the evening use of your settings. Better: upload what the house itself used, from the battery’s own app.',
  tooFewDays: (days: number, needed: number) =>
    `Your readings are of ${days} days, and ${needed} are needed to promise what you asked for: so the margin is kept as well.`,

  cancelled: (on: string) => `${on}: cancelled. Nothing to do for it any more.`,
  cancelledHeld: (on: string) => `${on}: cancelled.`,

  readingFirst: (on: string, pct: string, words: string) =>
    `${on}: what does the battery show now? More than ${pct}: send me the number, and I will say when to hold. ${pct} or less: hold it now, and answer "done".${how(words)}`,
  readingHold: (pct: string, release: string, words: string) =>
    `Look at the battery. ${pct} or less: hold it now, until ${release}, and answer "done". More: send me the number.${how(words)}`,

  hold: (by: string, pct: string, release: string) =>
    `Hold by ${by}, or as soon as it shows ${pct}: pause the discharge until ${release}.`,
  holdAgain: (by: string, pct: string, release: string) =>
    `Not held yet? It has to be by ${by}, or at ${pct}; then leave it until ${release}.`,
  holdNow: (pct: string, release: string) =>
    `Hold now: pause the discharge and keep the charge (${pct} is what it takes) until ${release}.`,
  holdLate: (by: string, release: string) =>
    `Hold now. It was to be by ${by}; it still helps until ${release}.`,
  holdLateShort: (by: string, until: string, release: string) =>
    `Hold now. It was to be by ${by}; held now, the battery should last until ${until}. Let it run again at ${release}.`,

  release: (by: string, end: string) =>
    `Let the battery run again by ${by}, so that it carries the house until ${end}.`,
  releaseNow: (start: string, end: string) =>
    `Let the battery run now: the event is from ${start} to ${end}.`,
  releaseAgain: (start: string, end: string) =>
    `Is it running yet? The event is from ${start} to ${end}, and a paused battery does not help.`,
  releaseLate: (began: number, end: string) =>
    began < 1
      ? `The event begins now: let the battery run, until ${end}.`
      : `The event began ${began === 1 ? 'a minute' : `${began} minutes`} ago: let the battery run now, until ${end}.`,
  releaseIfHeld: (end: string) =>
    `If you paused the battery: let it run now, until ${end}. If not, leave it as it is.`,

  restoreCancelled: (words: string) =>
    `The event is cancelled: let the battery run again.${how(words)}`,
  restoreMoved: (on: string, words: string) =>
    `The event is on another day now (${on}): let the battery run again until then.${how(words)}`,
  restoreOver: (words: string) =>
    `The event is over. If the battery is still paused, let it run again.${how(words)}`,

  outcome: (on: string) =>
    `${on} is over. What does the battery show now? Send me the number, and I will keep it.`,

  missedHold: (by: string) =>
    `I could not reach you in time to say "hold" (it was to be by ${by}). I am sorry.`,
  missedRelease: (end: string) =>
    `I could not reach you in time to say "let it run" (the event ended at ${end}). If it is still paused, let it run again.`,

  buttonHeld: 'Done: it is paused',
  buttonRunning: 'Done: it is running',
  buttonLater: 'In 10 minutes',

  readingNoted: (pct: string, at: string) => `${pct} at ${at}: noted.`,
  readingPlanned: (pct: string, plan: string) => `${pct}: noted. ${plan}`,
  firstCaution:
    'I only remind, and cannot see your battery. Never switch off medical equipment, smoke alarms, the fridge or the freezer for an event, and keep the rooms in use warm. The maker’s limits come before my figures.',

  snoozed: (until: string) => `I will ask again at ${until}.`,
  thanks: 'Thank you, noted.',
  thanksHeld: (release: string, left: string) =>
    `Thank you. It stays paused until ${release}, and I will tell you when to let it run. About ${left} more than you keep for a power cut should be left at the end.`,
  thanksRunning: (end: string, left: string) =>
    `Thank you. It should carry the house until ${end}, with about ${left} more than you keep for a power cut.`,
  outcomeNoted: (pct: string) => `${pct}: noted, thank you. That was the event.`,
  atHome: how,

  channelOff: (person: string, label: string) =>
    `${person}: ${label} takes no messages any more, so I have switched it off. You can set it up again under "Who is told".`,
  perhapsAgain: (text: string) => `${text} (You may have this already.)`,
  settledBy: (who: string, at: string) => `Done: ${who} said so at ${at}.`,
  settled: (at: string) => `Done at ${at}.`,
  answeredAt: (at: string) => `Answered at ${at}.`,
  settledUnanswered: 'Nobody answered this. If the battery is still paused, let it run.',
  settledChanged: 'This has changed: nothing to do for it now.',
  settledOver: 'This is over: nothing to do for it any more.',

  webhookOff:
    'The webhook answered that it is gone, so I have switched it off. You can set a new one in the settings.',
}
