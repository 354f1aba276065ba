// What pages say when something cannot be done: what happened, what it means, what to do.

export const troubleWords = {
  expired: {
    heading: 'This form is too old',
    what: 'It was not sent, and nothing was changed. Either the page was open for very long, or this browser keeps no cookies for this site.',
    doNext: 'Open the page again and fill the form in once more.',
  },
  nowhere: {
    heading: 'There is nothing here',
    what: 'This address leads nowhere. Nothing is lost.',
    doNext: 'Go back to the first page.',
  },
  tooLarge: {
    heading: 'That is too much at once',
    what: 'The form was over 256 KiB, and nothing was changed.',
    doNext: 'Go back and send less of it: the part with the day and the times is enough.',
  },
  broken: {
    heading: 'That went wrong here',
    what: 'This is a fault of ours, not of yours. What was noted before is still there, and reminders still come.',
    doNext: 'Try it once more in a minute. If an event is near, look at your battery yourself.',
  },
  wrongKey: 'This link opens no household. Copy the whole of it, up to its last letter',
  wrongReading: 'Give what the battery shows as a number from 0 to 100',
  wrongTimes: 'Give the day, and both times as on a clock, such as 17:30',
  endBeforeStart: 'The end is before the start. Give both times again',
  clockChange:
    'The clocks change that night, and this time comes twice or not at all. Write it in the conversation instead; you will be asked which one you mean',
  tooLong:
    'That is longer than 4000 characters. Send the part with the day and the times; nothing was taken',
  unnamedHousehold: 'Our house',
}
