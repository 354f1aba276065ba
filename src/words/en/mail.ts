// What a mail says besides the reminder itself: how to answer it, and whom it is for.

export const mailWords = {
  /** The action first: that is all a list of mails shows. */
  subject: (action: string, household: string) => `${action} – ${household}`,

  answerNumber: 'Answer this mail with what the battery shows, for example "58".',
  answerDone: 'Answer this mail with "done" when it is done.',
  answerDoneOrLater:
    'Answer this mail with "done" when it is done, or with "in 10" to be reminded again in ten minutes.',
  orHere: (address: string) => `Or on its page: ${address}`,
  here: (address: string) => `Answer on its page: ${address}`,
  answer: 'Answer on its page',
  confirmHere: (address: string) => `Confirm it here: ${address}`,
  confirm: 'Confirm this address',
  see: 'See the plan',
  seeHere: (address: string) => `The plan: ${address}`,
  calendar: 'The attached calendar file has the times.',

  footer: (household: string) => `Holdbell reminds ${household}. Your hands do the rest.`,
  footerWithoutName: 'Holdbell only reminds. Your hands do the rest.',
}
