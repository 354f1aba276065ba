// What the page of the people who can reach the battery says, and the conversation about them.

export const peopleWords = {
  title: 'Who can reach the battery, and when',
  link: 'People',
  back: 'Back to the plan, without a change',
  why: 'Somebody has to pause it and let it run again. Say when each of you cannot: reminders then come while one of you still can, and if nobody can, you hear of it when the event is announced.',
  nobody: 'With nobody listed, somebody is taken to be there always.',
  person: (name: string) => name,
  another: 'Somebody else',
  first: 'Who can do it?',
  name: 'Name',
  nameHint: 'Clear the name and all below it to take somebody off the list.',
  away: 'Away every week',
  awayHint: 'At work, on the way. Over midnight where the end is earlier than the start.',
  awayRow: (n: number) => `Away every week, row ${n}`,
  absences: 'Away once',
  absencesHint: 'A journey, a night out.',
  absenceRow: (n: number) => `Away once, row ${n}`,
  quiet: 'Asleep, or not to be disturbed, every night',
  quietHint: 'No reminder comes while all of you are asleep or away.',
  days: 'Days',
  day: ['Mo', 'Tu', 'We', 'Th', 'Fr', 'Sa', 'Su'],
  dayLong: ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'],
  from: 'From',
  until: 'Until',
  saved: 'Saved.',
  save: 'Save',
  saveMore: 'Save and add another',

  wrong: {
    name: 'Give a name of at most 60 characters, on one line',
    days: 'Tick the days on which it begins',
    times: 'Give both times, not the same, such as 08:00 and 17:00; or clear the row',
    once: 'Give both the day and time from and until, the later one last; or clear the row',
    quiet: 'Give both times of the night or neither, such as 22:30 and 07:00',
    tooMany: 'There are more rows than can be kept: take some away',
  },

  // In the conversation
  who: {
    nobodyListed:
      'Nobody is listed, so somebody is taken to be there always. Tell me "I am away tomorrow 9 to 17" or "asleep 22:30 to 7", or list yourselves on the page /people.',
    here: (names: string) => `${names} can reach the battery now.`,
    hereUntil: (names: string, until: string) =>
      `${names} can reach the battery now; from ${until} nobody can.`,
    nobody: (until: string) => `Nobody can reach the battery now. Somebody can again at ${until}.`,
    nobodyForLong: 'Nobody can reach the battery now, nor for a week from now.',
    more: 'Change it on the page /people.',
  },
  awayNoted: (who: string, span: string) => `${who} is away ${span}: noted.`,
  allAwayNoted: (who: string, span: string) => `${who} are away ${span}: noted.`,
  quietNoted: (who: string, from: string, until: string) =>
    `${who} is asleep from ${from} to ${until} every night: noted.`,
  allQuietNoted: (who: string, from: string, until: string) =>
    `${who} are asleep from ${from} to ${until} every night: noted.`,
  noChange: 'It changes nothing in the plan.',
  noPlan: 'No event is announced.',
  household: 'The household',
  listYourselves: 'If somebody else can do it meanwhile, list yourselves on the page /people.',
  everybody: 'All of us',
  askWho: 'Who is that?',
  askTimes: 'From when to when? For example: I am away tomorrow 9 to 17.',
  askNight: 'From when to when? For example: asleep 22:30 to 7.',
  tooMany: 'There are more absences than I can keep. Take some away on the page /people.',
} as const
