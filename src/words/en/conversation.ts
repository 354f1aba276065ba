// The questions we ask back when a message can mean two things, and what their buttons show.

export const conversationWords = {
  morningOrEvening: 'Morning or evening? Choose one.',
  midnight: 'Which midnight: the one that begins the day, or the one that ends it?',
  noDay: 'Which day is that? No day was named, and today it would have started already.',
  inThePast: (when: string) => `${when} is over. Which day is the event?`,
  tooLong: (duration: string) => `That would be ${duration} long. Is that right?`,
  muchTooLong: (duration: string, most: string) =>
    `That would be ${duration} long; I take no event longer than ${most}. When does it start and end?`,
  tooShort: (duration: string) =>
    `That would be only ${duration}. When does the event start and end?`,
  tooFar: (days: string) => `That is ${days} days ahead. Is that right?`,
  muchTooFar: (days: string, most: string) =>
    `That is ${days} days ahead; I take no event further ahead than ${most} days. Which date is it?`,
  clocksSkip: (shows: string) =>
    `The clocks go forward then and skip that time: they will show ${shows}. Which do you mean?`,
  clocksRepeat: 'The clocks go back then, and that time comes twice. Which do you mean?',
  dayOrMonth: 'Which is the day and which the month? Choose the date.',
  whichWeek: 'This week or the week after? Choose the date.',
  weekdayMismatch: 'The weekday and the date do not agree. Which one is right?',
  otherZone: (zone: string) => `Is that ${zone}, or your own clock? Choose the time on your clock.`,
  onlyPerhaps: 'Is that announced? Choose the event if it is.',
  noSuchDay: 'That date does not exist. Which day is the event?',
  noEnd: 'Until when? Choose the end, or send both times, for example 17:30-18:30.',
  noEndFrom: (start: string) =>
    `It starts ${start}. Until when? Choose the end, or send both times, for example 17:30-18:30.`,
  noTime: 'From when to when? Send the times, for example 17:30-18:30.',
  repeating: 'One event at a time, please: send the date and the times of the next one.',
  severalUnclear: (count: string) =>
    `${count} of these events can be read in two ways. Please send them one at a time.`,
  cancelledAndNew: 'One event is called off and another is named. Which of these is it?',
  cancelledWithoutTime: 'Which event is called off? Send its day and time.',
  movedWithoutTime: 'To when? Send the new time, for example: move thursday to 18:00-19:00.',
  movedFromOrBetween: 'Is that the new start, or the whole of the new time?',
  unknownZone: (zone: string) => `The time zone ${zone} is not known. Please set another one.`,
  whichEvent: 'Which event?',
  noSuchEvent: 'No event fits that. These are the ones I have:',
  noEvents: 'No event is announced, so there is nothing to change.',
  howLong: 'In how many minutes shall I ask again?',
  doneOrSeen: 'Is it done, or not yet?',
  twoThings: 'One thing at a time, please: which shall I note first?',
  readingInWords: (pct: string) => `Does the battery show ${pct}? If not, send what it shows.`,
  readingOutOfRange: (value: string) =>
    `The battery shows something from 0 to 100; ${value} is not. What does it show?`,
  readingInFuture: (time: string) => `${time} is still to come. Is that what it shows now?`,

  buttonSpan: (day: string, times: string) => `${day}, ${times}`,
  buttonSpanBefore: (day: string, times: string, length: string) =>
    `${day}, ${times}, before the clocks go back (${length})`,
  buttonSpanAfter: (day: string, times: string, length: string) =>
    `${day}, ${times}, after the clocks go back (${length})`,
  buttonSpanAcross: (day: string, times: string, length: string) =>
    `${day}, ${times}, from before the clocks go back to after (${length})`,
  buttonEvent: (day: string, times: string) => `${day}, ${times}`,
  buttonMinutes: (duration: string) => `In ${duration}`,
  buttonReading: (pct: string) => `It shows ${pct} now`,
  buttonDone: 'Done',
  buttonNotYet: 'Not yet',
}
