// What the page of one reminder says, which a link in a message opens; and the pages that confirm an address, or stop it.

export const answerPageWords = {
  title: {
    plan: 'The plan',
    enrol: 'Enrol',
    overnight: 'Set the charge for the night',
    reading: 'Look at the battery',
    hold: 'Hold the battery',
    release: 'Let it run again',
    restore: 'Let it run again',
    outcome: 'Say how it went',
  },
  asked: (day: string, at: string) => `Asked on ${day} at ${at}.`,
  again: (at: string) => `If nobody answers, it is asked again at ${at}.`,
  toDo: 'Your answer',
  reading: 'What the battery shows (%)',
  readingSend: 'Note it',
  notYet: 'Not yet: take it back',
  notYetHint: 'If it was not done after all, take it back, and you are reminded again.',
  wrongReading: 'Give what the battery shows as a number from 0 to 100',

  confirm: {
    title: 'Confirm this address',
    what: 'Reminders of a household are to come to your mailbox. If you want that, confirm it. If not, close this page: nothing more will come.',
    go: 'Confirm: send them here',
    doneTitle: 'Confirmed',
    done: 'Reminders will come to your mailbox from now on. Each has a way to stop them.',
  },
  stop: {
    title: 'Stop these reminders',
    what: 'No more reminders will come this way. The household sees that it is turned off.',
    go: 'Stop them',
    doneTitle: 'Stopped',
    done: 'No more reminders will come this way.',
  },

  tooLarge: {
    heading: 'That is too much at once',
    what: 'The answer was over 4 KiB, and nothing was changed.',
    doNext: 'Go back and answer with a button or a number.',
  },

  /** The answer to a mail. */
  replySubject: (subject: string) => (/^re:/i.test(subject) ? subject : `Re: ${subject}`),
  replyWithoutSubject: 'Your answer',

  /** A chat's message that was on its way for long. */
  cameLate: (ago: string) =>
    `I got this only now, ${ago} after you wrote it, and have not counted it. If it is still true, send it again.`,
} as const
