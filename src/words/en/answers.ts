// What Holdbell answers in the conversation when it is asked, or could not do what was asked.

export const answerWords = {
  noEvent:
    'No event is announced. Tell me of one as you would tell a person, for example: tomorrow 17:30-18:30.',
  help: [
    'Tell me of an event: "tomorrow 17:30-18:30", "thu 5pm for 90 min". Change or cancel it: "moved to 18:00-19:00", "cancel thursday".',
    'Tell me what the battery shows: "58". When I remind you, answer "done", "not yet" or "in 10".',
    'Say when you cannot reach the battery: "I am away tomorrow 9 to 17", "asleep 22:30 to 7". Ask "who is home?" or "prices".',
    'Ask for the "plan", "why", or "worth it?". I only remind: your hands do the rest.',
  ].join('\n'),
  unknown: (example: string) =>
    `I did not understand that. Tell me of an event ("${example}"), what the battery shows ("58"), or say "done", "plan" or "help".`,

  example: 'tomorrow 17:30-18:30',

  meter:
    'Add the file of your meter readings on its own page, /meter: from the household\'s page, at the bottom, "Meter readings". CSV and Green Button XML can be read.',
  meterPasted:
    'That looks like meter readings. Add them as a file on their own page, /meter: from the household\'s page, at the bottom, "Meter readings". Nothing was taken from this message.',

  thanks: 'You are welcome.',
  stop: 'To end the reminders of an event, cancel it. To end all of them, delete the household: on its page, at the bottom.',
  danger:
    'Leave the battery alone and get everybody out. From outside, call the fire service. Do not open, move, charge or switch it.',
  medical:
    'If anybody depends on equipment that needs power, please do not take part: the battery can run out or fail, and I cannot see that. Speak to your healthcare provider about a plan for power cuts. In danger, call the emergency services.',
  outage:
    'Then let the battery run: what you keep is kept for this. Keep the fridge and the freezer closed, run no generator and burn nothing indoors. In danger, call the emergency services.',

  cameLate:
    'I got this only now, some time after you wrote it, so I have not counted it. If it is still true, say it again.',
  nothingToDo: 'Thank you. Nothing is waiting for an answer just now.',
  nothingToSnooze: 'Nothing is waiting for an answer, so there is nothing to put off.',
  reopened: (next: string) => `All right: not yet. I will ask again at ${next}.`,
  reopenedOnly: 'All right: not yet.',
  nothingToReopen: 'There is no answer to take back.',
  /** What was taken for granted, so that it can be put right. */
  assumed: {
    evening: 'You did not say morning or evening, so I took the evening.',
    'next-day': 'It ends after midnight, on the day after.',
    today: 'You did not say which day, so I took today.',
    'same-length': 'You named the new start only, so I kept its length.',
  },

  refused: {
    event_reversed: 'The event would end before it begins. Send me both times again.',
    event_over: (end: string) => `That event was over at ${end}. Send me the times again.`,
    event_too_long: (hours: string, limit: string) =>
      `That would be ${hours} long; I take events up to ${limit}. Send me the times again.`,
    event_too_far: (days: number) =>
      `That is more than ${days} days ahead. Send me the date again.`,
    events_overlap: (other: string) =>
      `That would overlap with ${other}. To change that one, say "moved to" and the new times; or cancel it first.`,
    too_many_events: (limit: number) =>
      `There are ${limit} events already; that is as many as I plan at once. Cancel one first.`,
    no_such_event: 'I know of no such event.',
    event_cancelled: 'That event is cancelled already.',
    reading_out_of_range: (value: number) =>
      `A battery shows between 0 and 100 %, not ${value}. What does it show?`,
    reading_in_future: (at: string) => `${at} is still to come. What does the battery show now?`,
    reading_too_old:
      'A reading from more than a day ago does not help any more. What does it show now?',
    reading_superseded: (newer: string) =>
      `I have a newer reading, from ${newer}, and keep that one.`,
    no_such_reminder: 'I know of no such reminder.',
    reminder_closed: 'That reminder is not open any more.',
    snooze_out_of_range: 'I can put it off by 1 minute up to a day. By how many minutes?',
    no_such_channel: 'That way of telling somebody is not there any more. Look at the list again.',
    too_many_channels: (limit: number) =>
      `There are ${limit} ways of telling people already. Remove one that nobody needs first.`,
  },
}
