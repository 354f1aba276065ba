// What the pages say. Times, shares and energies arrive formatted (format.ts); `**` marks what is set
// in bold: the figures that a person acts on.

import { reachWords } from './reach.ts'
import { reminderWords } from './reminders.ts'
import { setupWords } from './setup.ts'

export const pageWords = {
  ...setupWords,
  name: 'Holdbell',
  skip: 'To the content',
  saved: 'Saved.',
  pageTitle: (title: string) => `${title} – Holdbell`,
  errorTitle: (title: string) => `Error: ${title}`,

  /** A time on another day than today. */
  dayTime: (day: string, time: string) => `${day}, ${time}`,

  doors: {
    title: 'Hold the charge in time',
    job: 'Your battery can carry the house through the hour when the grid asks you to use little, if it is still full enough when that hour begins. Tell Holdbell when the event is and what the battery shows. It works out the latest safe time to pause the battery, reminds you then, and reminds you to let it run again just before the start. You do the pausing; it only reminds.',
    setUp: 'Set up your own household',
    setUpHint: 'A few questions, about two minutes. No account, no password.',
    demo: 'Walk in to the demo house',
    demoHint:
      'A terraced house in Halifax, Nova Scotia, with an event tomorrow evening. All of it is invented.',
    closed: 'This browser has no household open. If you have one, open it with your link.',
    open: 'Open with your link',
    openHint: 'You have a household already.',
  },

  rehearsal: {
    title: 'An event day in two minutes',
    what: 'The demo house has an event from 17:30 to 18:30 today, and its battery shows 55 %. It is one in the afternoon. The clock runs fast where nothing happens, and slower where you are asked something.',
    how: 'Look at the battery when you are asked to: say that it shows 34. Hold, let it run again, and say what is left. Or do nothing, and see how you are reminded.',
    go: 'Start the rehearsal',
  },

  open: {
    title: 'Open your household',
    label: 'Paste your link or its key',
    hint: 'The long address that you saved when you set the household up.',
    go: 'Open',
  },

  problem: { back: 'To the first page' },

  banner: {
    demo: 'This is the demo house. Everything in it is invented; change what you like.',
    rehearsal: (time: string) =>
      `Rehearsal: it is ${time}, and the clock runs fast. Answer when you are asked, or watch what happens if nobody does.`,
  },

  /** The first line of the plan: the one answer. */
  answer: {
    noEvent: 'No event is announced.',
    over: 'The event is over.',
    onTheDay: 'It is planned on the day.',
    noReading: 'What does the battery show?',
    noPlan: 'There is no plan yet.',
    hold: (by: string, pct: string) => `Hold by **${by}**, or as soon as it shows **${pct}**.`,
    holdNow: () => 'Hold **now**.',
    noHold: () => 'No need to hold.',
    empty: 'The battery has nothing to give.',
    charge: (pct: string, until: string) => `Charge it to **${pct}** by **${until}**.`,
    held: (release: string) => `Held. Let it run again at **${release}**.`,
    releaseNow: () => 'Let it run again **now**.',
    runNow: (start: string) => `Let it run. The event begins at **${start}**.`,
    running: (start: string) => `It runs again. The event begins at **${start}**.`,
    serving: (end: string) => `The event is on until **${end}**. Let it run.`,
    short: (by: string, until: string) =>
      `Hold by **${by}**. It will last only until about **${until}**.`,
    shortNow: (until: string) => `Hold **now**. It will last only until about **${until}**.`,
  },

  /** The line under it: for what, and what that means. */
  about: {
    event: (day: string, range: string) => `Event: ${day}, ${range}.`,
    restore:
      'The event is over, cancelled or on another day. If the battery is still paused, let it run again.',
    noEvent: 'When you hear of one, say so below: paste the announcement, or fill in the form.',
    onTheDay: (pct: string, at: string) =>
      `It takes ${pct} of the battery. At ${at} you are asked what it shows then, and told when to hold.`,
    whenItCharges:
      'If it charges from the grid at night, say when in the settings: then it can be planned ahead.',
    over: (day: string, range: string) =>
      `${day}, ${range}. What does the battery show now? Say it below, and it is kept.`,
    overAt: (day: string, range: string, pct: string) =>
      `${day}, ${range}: it ended with ${pct}. When you hear of the next one, say so below.`,
    noReading: (day: string, range: string) =>
      `Event: ${day}, ${range}. Say what the display shows now, and the plan is made from that.`,
    noPlan: (day: string, range: string) =>
      `Event: ${day}, ${range}. Say again what the display shows now; if that does not help, check the settings.`,
    hold: (release: string) => `Pause the discharge then, and let it run again at ${release}.`,
    holdNow: (pct: string, release: string) =>
      `The charge to keep is ${pct}. Pause the discharge, and let it run again at ${release}.`,
    holdLate: (by: string, release: string) =>
      `It was to be by ${by}. Holding still helps until ${release}; then let it run again.`,
    thenPaused: (release: string) => `Then leave it paused, and let it run again at ${release}.`,
    holdShort: (release: string) => `Let it run again at ${release}.`,
    short: (kwh: string, kw: string) =>
      `${kwh} are missing. Under ${kw} of use it lasts to the end.`,
    empty: (pct: string) =>
      `It is down to what you keep for a power cut. For the whole event it would have to show ${pct}. If it charges before then, say what it shows.`,
    noHold: (pct: string) =>
      `The battery is expected to stay above ${pct} until the start. If it shows ${pct} or less before that, hold it.`,
    held: (release: string, left: string, end: string) =>
      `Leave it paused until ${release}. About ${left} above what you keep for a power cut should be left at ${end}.`,
    topUp: (from: string, until: string, kwh: string) =>
      `Charge it from the grid from ${from} to ${until}: ${kwh}.`,
    leftOver: (left: string, end: string) =>
      `About ${left} above what you keep for a power cut should be left at ${end}.`,
  },

  /** What is known to be doubtful about the plan. */
  caution: {
    loadOverLimit: (load: string, limit: string) =>
      `The house is expected to draw ${load} in the event and the battery can give ${limit}: the rest comes from the grid.`,
    oldReading: (age: string) =>
      `The reading is ${age} old. Look at the battery again: the time may have moved.`,
  },

  due: {
    heading: 'To do now',
    hold: reminderWords.buttonHeld,
    release: reminderWords.buttonRunning,
    restore: reminderWords.buttonRunning,
    overnight: reachWords.buttonSet,
    lookHeading: 'To look at',
    look: (pct: string, release: string) =>
      `Look at the battery. ${pct} or less: hold it now, until ${release}. More: write the number.`,
    outcome: (day: string, range: string) =>
      `The event of ${day}, ${range}, is over. What does the battery show now?`,
    how: (words: string) => `At home: ${words}`,
    snooze: reminderWords.buttonLater,
    next: (what: string, at: string) => `Next reminder: ${what}, ${at}.`,
    again: (at: string) => `If nobody answers, you are asked again at ${at}.`,
    none: 'No reminder is waiting.',
  },

  reminderKind: {
    plan: 'the plan',
    enrol: 'to enrol',
    overnight: 'the plan for the night',
    reading: 'to look at the battery',
    hold: 'to hold',
    release: 'to let it run again',
    restore: 'to check that it runs',
    outcome: 'to say how it went',
  },

  reminderState: {
    told: (at: string) => `told ${at}`,
    waiting: 'to come',
    sent: (at: string) => `sent ${at}, not answered`,
    acknowledged: (at: string) => `done ${at}`,
    lapsed: 'passed without an answer',
    replaced: 'no longer needed',
    missed: 'could not be sent in time',
  },

  /** With `missed`. */
  missedBecause: {
    'woke-late': 'not sent: nothing woke here in time',
    'nobody-there': 'not sent: nobody was there',
    'no-channel': 'not sent: no way to anybody worked',
    crowded: 'not sent: too near to another message',
  },

  /** Under a reminder: who was told, who answered. */
  told: {
    line: (ways: string) => `Told: ${ways}.`,
    way: (person: string, label: string, at: string) => `${person} (${label}) ${at}`,
    webhook: (at: string) => `the webhook ${at}`,
    removed: (at: string) => `a way that was removed since (${at})`,
    by: (person: string) => `${person} said so.`,
    /** Where nobody gave a name. */
    answered: {
      page: 'Said on this page.',
      chat: 'Said in the conversation.',
      api: 'Said by a program.',
      'a reading': 'Answered by a reading.',
    },
    /** What hands did last; `by` a name, if one was given. */
    last: {
      hold: (by: string | null, at: string) =>
        by === null ? `Paused: said at ${at}.` : `Paused: ${by} said so at ${at}.`,
      release: (by: string | null, at: string) =>
        by === null ? `Running again: said at ${at}.` : `Running again: ${by} said so at ${at}.`,
      restore: (by: string | null, at: string) =>
        by === null ? `Running again: said at ${at}.` : `Running again: ${by} said so at ${at}.`,
      overnight: (by: string | null, at: string) =>
        by === null
          ? `The charge is set: said at ${at}.`
          : `The charge is set: ${by} said so at ${at}.`,
    },
    notYet: 'Not yet: take it back',
  },

  talk: {
    earlier: 'Earlier',
    heading: 'Say it',
    empty: 'Nothing has been said yet.',
    you: 'you',
    us: 'Holdbell',
    who: (who: string, when: string) => `${who}, ${when}`,
    label: 'Write as you would to a neighbour',
    hint: 'A number, “done”, “in 10”, or the announcement as you got it.',
    placeholder: '58',
    send: 'Say it',
    changed: 'There is something new.',
  },

  forms: {
    heading: 'Or fill in',
    reading: 'What the battery shows (%)',
    readingSend: 'Note it',
    newEvent: 'A new event',
    date: 'Day',
    from: 'From',
    until: 'Until',
    announce: 'Add the event',
  },

  events: {
    heading: 'Events',
    empty: 'None is announced.',
    line: (day: string, range: string) => `${day}, ${range}`,
    cancelled: 'cancelled',
    over: 'over',
    outcome: (pct: string) => `showed ${pct} afterwards`,
    change: 'Change or cancel',
    move: 'Change the time',
    cancel: 'Cancel this event',
    file: 'Plan as a calendar file',
  },

  reminders: {
    heading: 'Reminders',
    empty: 'None yet: they come with an event and a reading.',
    what: 'What',
    when: 'When',
    state: 'State',
    earlier: (count: string) => `Earlier ones (${count})`,
  },

  cautions: {
    heading: 'Good to know',
    list: [
      'Holdbell only reminds. It cannot see your battery, and it cannot tell when something is wrong with it.',
      'Payment goes by your scheme’s own meter and rules, not by these figures.',
      'The part kept for a power cut is never planned away. What the maker says about least charge and temperature comes before anything here.',
      'Never switch off medical equipment, smoke alarms, the fridge or the freezer for an event.',
      'Keep the rooms you use at 18 °C or more. Never heat with a gas oven or hob, and never burn charcoal or run a generator indoors.',
      'A battery that is swollen, hot, hissing or smelling: leave the house and call the fire service.',
    ],
  },

  more: {
    heading: 'This household',
    calendar: 'Calendar address',
    calendarHint: 'A display only: many calendars refresh once a day.',
    settings: 'Settings',
    leave: 'Forget this browser',
    erase: 'Delete this household',
    eraseSure: 'Yes: all of it, for everybody who has the link. It cannot be brought back',
    eraseNow: 'Delete it now',
    leaveHint: 'You will need your link to come back.',
    leaveDemoHint: 'The demo house is gone for you then; walk in again for a new one.',
  },
} as const
