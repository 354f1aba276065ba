// Messages in wording of our own, each with what it must give, grouped by the trap it sets. The household
// lives in Halifax; it is Wednesday 13 January 2027, noon. The expected answers were set by hand.

import { DateTime } from 'luxon'
import { afterAll, describe, expect, test } from 'vitest'
import { readAnnouncement } from '../../src/announcement/index.ts'
import { asInstant } from '../../src/plan/index.ts'

type Where = { now: string; timeZone: string; dayFirst: boolean }
const HALIFAX: Where = {
  now: '2027-01-13T12:00-04:00',
  timeZone: 'America/Halifax',
  dayFirst: true,
}
const MONTH_FIRST = { ...HALIFAX, dayFirst: false }
const at = (timeZone: string, now: string): Where => ({ timeZone, now, dayFirst: true })

// Notation: `01-14 17:30/18:30` is an event on the household's clock (year 2027, or written out), `+` joins
// several; `moved` or `cancelled` in front; `? reason` with candidates; `nothing`; `[…]` is what was assumed.
type Row = readonly [text: string, gives: string, where?: Where]

const corpus: Record<string, readonly Row[]> = {
  'plain ranges': [
    ['tomorrow 17:30-18:30', '01-14 17:30/18:30'],
    ['Tomorrow, 17:30 – 18:30.', '01-14 17:30/18:30'],
    ['today 17:30 to 18:30', '01-13 17:30/18:30'],
    ['14 Jan 17:30-18:30', '01-14 17:30/18:30'],
    ['14/1 17:30–18:30', '01-14 17:30/18:30'],
    ['2027-01-14 17:30-18:30', '01-14 17:30/18:30'],
    ['thursday 5-7pm', '01-14 17:00/19:00'],
    ['Thu 14 Jan, 5pm-7pm', '01-14 17:00/19:00'],
    ['Thursday the 14th of January from 17:30 until 18:30', '01-14 17:30/18:30'],
    ['Jan 14, 2027 from 5:30 PM to 6:30 PM', '01-14 17:30/18:30'],
    ['the 14th, 5pm to 6pm', '01-14 17:00/18:00'],
    ['Sat 17:00:00-18:00:00', '01-16 17:00/18:00'],
  ],
  durations: [
    ['thu 5pm for 90 min', '01-14 17:00/18:30'],
    ['thursday 17:30 for an hour', '01-14 17:30/18:30'],
    ['tomorrow at 17:30 for 1.5 hours', '01-14 17:30/19:00'],
    ['tomorrow 17:30 (1 h)', '01-14 17:30/18:30'],
    ['90 min from 17:30 tomorrow', '01-14 17:30/19:00'],
    ['tomorrow 5pm for half an hour', '01-14 17:00/17:30'],
    ['friday 18:00 for one and a half hours', '01-15 18:00/19:30'],
    ['friday 18:00 for 1h30', '01-15 18:00/19:30'],
    ['event in 10 minutes for 1 hour', '01-13 12:10/13:10'],
    ['event now for one hour', '01-13 12:00/13:00'],
    ['it starts in 10 minutes and lasts 1 hour', '01-13 12:10/13:10'],
    ['now until 14:00', '01-13 12:00/14:00'],
    ['it is paused now for one hour', 'nothing'],
    ['Extended peak event tomorrow 17:30-20:30', '01-14 17:30/20:30'],
    ['tomorrow 17:30, lasting 2 hours', '01-14 17:30/19:30'],
  ],
  'ways to write a clock': [
    ['tomorrow 5.30 to 6.30pm', '01-14 17:30/18:30'],
    ['tomorrow 1730-1830', '01-14 17:30/18:30'],
    ['tomorrow 17h30 - 18h30', '01-14 17:30/18:30'],
    ['tomorrow 17h-19h', '01-14 17:00/19:00'],
    ['tomorrow 530-630pm', '01-14 17:30/18:30'],
    ['tomorrow 5:30 p.m. – 6:30 p.m.', '01-14 17:30/18:30'],
    ['tomorrow between 5pm and 7pm', '01-14 17:00/19:00'],
    ['tomorrow between 17:00 and 18:30', '01-14 17:00/18:30'],
    ['tomorrow half past five till half six', '01-14 17:30/18:30 [evening]'],
    ['tomorrow quarter to six pm until quarter past seven pm', '01-14 17:45/19:15'],
    ['tomorrow noon to 2pm', '01-14 12:00/14:00'],
    ['tomorrow from five to seven', '01-14 17:00/19:00 [evening]'],
    ['tomorrow 17:30 -> 18:30', '01-14 17:30/18:30'],
    ['Start: 17:30\nEnd: 18:30\nDate: Thursday 14 January', '01-14 17:30/18:30'],
    ['starts tomorrow at 17:30 and ends at 18:30', '01-14 17:30/18:30'],
    ['5pm tomorrow until 7pm', '01-14 17:00/19:00'],
    ['2027-01-14 17:30 to 2027-01-14 18:30', '01-14 17:30/18:30'],
    ['ｔｏｍｏｒｒｏｗ １７：３０－１８：３０', '01-14 17:30/18:30'],
    ['tomorrow\u00a017:30\u2009\u2013\u200918:30 🙂', '01-14 17:30/18:30'],
    ['TOMORROW 5PM TO 7PM', '01-14 17:00/19:00'],
  ],
  'half of the day left out': [
    ['tomorrow between 5 and 7', '01-14 17:00/19:00 [evening]'],
    ['tomorrow 7-9', '? morning_or_evening 01-14 07:00/09:00 + 01-14 19:00/21:00'],
    ['saturday 9:00-11:00', '? morning_or_evening 01-16 09:00/11:00 + 01-16 21:00/23:00'],
    ['saturday 09:00-11:00', '01-16 09:00/11:00'],
    ['tomorrow 5:30 - 6:30', '01-14 17:30/18:30 [evening]'],
    ['tomorrow 17:30-6:30', '01-14 17:30/18:30 [evening]'],
    ['tonight 6-7', '01-13 18:00/19:00'],
    ['tomorrow morning 7-9', '01-14 07:00/09:00'],
    ['tomorrow evening at 6 for an hour', '01-14 18:00/19:00'],
    [
      'Good morning! Event tomorrow 7-9',
      '? morning_or_evening 01-14 07:00/09:00 + 01-14 19:00/21:00',
    ],
    ['lundi 17h30 - 18h30', '? no_day 01-13 17:30/18:30 + 01-14 17:30/18:30'],
    ['demain 17:30-18:30', '? no_day 01-13 17:30/18:30 + 01-14 17:30/18:30'],
    ['tomorrow 11-1pm', '01-14 11:00/13:00'],
    ['tomorrow 05:30-06:30', '01-14 05:30/06:30'],
    ['tomorrow 11-1', '? morning_or_evening 01-14 11:00/13:00 + 01-14 23:00/01:00'],
    ['tomorrow 10-12', '? morning_or_evening 01-14 10:00/12:00 + 01-14 22:00/00:00'],
    ['tomorrow 12-2', '? morning_or_evening 01-14 00:00/02:00 + 01-14 12:00/14:00'],
    ['tonight 1-3', '? morning_or_evening 01-14 01:00/03:00 + 01-13 13:00/15:00'],
    ['thursday midnight to 1am', '? midnight 01-14 00:00/01:00 + 01-15 00:00/01:00'],
  ],
  'over midnight': [
    ['tomorrow 23:30-00:30', '01-14 23:30/00:30 [next-day]'],
    ['tomorrow 10pm - midnight', '01-14 22:00/00:00'],
    ['thursday 11pm-1am', '01-14 23:00/01:00 [next-day]'],
    ['tonight 11-1', '01-13 23:00/01:00 [next-day]'],
  ],
  'which day': [
    ['a week today 5-6pm', '01-20 17:00/18:00'],
    ['the day after tomorrow, 17:30-18:30', '01-15 17:30/18:30'],
    ['in 3 days 17:30-18:30', '01-16 17:30/18:30'],
    ['a week on thursday 17:30-18:30', '01-21 17:30/18:30'],
    ['thursday week 17:30-18:30', '01-21 17:30/18:30'],
    ['wednesday 5-6pm', '01-13 17:00/18:00 [today]'],
    ['next monday 5-6pm', '01-18 17:00/18:00'],
    ['17:30-18:30', '01-13 17:30/18:30 [today]'],
    ['3 Jan 17:30-18:30', '2027-01-03 17:30/18:30', { ...HALIFAX, now: '2026-12-28T12:00-04:00' }],
    ['next thursday 5-6pm', '? which_week 01-14 17:00/18:00 + 01-21 17:00/18:00'],
    ['wednesday 9-11am', '? in_the_past 01-20 09:00/11:00'],
    ['9:30am-11:30am', '? no_day 01-14 09:30/11:30', { ...HALIFAX, now: '2027-01-13T11:45-04:00' }],
    ['every thursday 17:30-18:30', '? repeating'],
    ['weekdays 5-7pm', '? repeating'],
  ],
  'day and month': [
    ['10/2 17:30-18:30', '? too_far 02-10 17:30/18:30'],
    ['12/05/2027 17:30-18:30', '? too_far 05-12 17:30/18:30 + 12-05 17:30/18:30'],
    ['1 February 2029 17:30-18:30', '? too_far'],
    ['10/11 4pm-5pm', '2026-11-10 16:00/17:00', at('Europe/London', '2026-11-05T12:00Z')],
    [
      '10/11 4pm-5pm',
      '2026-10-11 16:00/17:00',
      { ...at('Europe/London', '2026-10-05T12:00Z'), dayFirst: false },
    ],
    ['1/14 17:30-18:30', '01-14 17:30/18:30', MONTH_FIRST],
    ['1/14 17:30-18:30', '01-14 17:30/18:30'],
    ['14.01.2027 17.30-18.30', '01-14 17:30/18:30'],
    ['14/01/27 17:30-18:30', '01-14 17:30/18:30'],
    ['2/1 17:30-18:30', '? day_or_month 02-01 17:30/18:30'],
    ['1/2 17:30-18:30', '? day_or_month 02-01 17:30/18:30', MONTH_FIRST],
    ['Thu 15 Jan 17:30-18:30', '? weekday_mismatch 01-15 17:30/18:30 + 01-14 17:30/18:30'],
    ['31 April 17:30-18:30', '? no_such_day'],
    ['2027-02-30 17:30-18:30', '? no_such_day'],
  ],
  limits: [
    ['tomorrow 9-17', '? too_long 01-14 09:00/17:00'],
    ['tomorrow 9am-5pm', '? too_long 01-14 09:00/17:00'],
    ['tomorrow 12:00-18:00', '01-14 12:00/18:00'],
    ['tomorrow 12:00-18:01', '? too_long 01-14 12:00/18:01'],
    ['in 21 days 17:30-18:30', '02-03 17:30/18:30'],
    ['in 22 days 17:30-18:30', '? too_far 02-04 17:30/18:30'],
    ['yesterday 5-6pm', '? in_the_past 01-13 17:00/18:00 + 01-14 17:00/18:00'],
    ['3 January 17:30-18:30', '? in_the_past 01-13 17:30/18:30 + 01-14 17:30/18:30'],
    ['today 9-11am', '? in_the_past 01-14 09:00/11:00'],
    ['tomorrow 17:30-17:31', '? too_short'],
    ['2019-01-14 17:30-18:30', '? in_the_past 01-13 17:30/18:30 + 01-14 17:30/18:30'],
  ],
  'no end, no time': [
    ['tomorrow at 17:30', '? no_end 01-14 17:30/18:30 + 01-14 17:30/19:30 + 01-14 17:30/20:30'],
    ['event thursday at 5', '? no_end 01-14 17:00/18:00 + 01-14 17:00/19:00 + 01-14 17:00/20:00'],
    [
      '2027-01-14T17:30-04:00',
      '? no_end 01-14 17:30/18:30 + 01-14 17:30/19:30 + 01-14 17:30/20:30',
    ],
    ['event tomorrow', '? no_time'],
    ['There will be a session on Thursday', '? no_time'],
  ],
  several: [
    ['Thursday 5-7pm and Friday 6-7pm', '01-14 17:00/19:00 + 01-15 18:00/19:00'],
    ['5-7pm on Thursday, 6-7pm on Friday', '01-14 17:00/19:00 + 01-15 18:00/19:00'],
    ['Thursday and Friday 5-7pm', '01-14 17:00/19:00 + 01-15 17:00/19:00'],
    ['tomorrow 7:00-8:00am and 17:30-18:30', '01-14 07:00/08:00 + 01-14 17:30/18:30'],
    [
      'Thu 17:30-18:30\nFri 17:00-18:00\nSat 16:00-17:00',
      '01-14 17:30/18:30 + 01-15 17:00/18:00 + 01-16 16:00/17:00',
    ],
    ['Thu 14 January\n17:30-18:30', '01-14 17:30/18:30'],
    ['thursday 17:30-18:30, again: thursday 17:30-18:30', '01-14 17:30/18:30'],
    [
      'Thu 11-1 and Fri 10-12',
      '? several_unclear 01-14 11:00/13:00 + 01-14 23:00/01:00 + 01-15 10:00/12:00 + 01-15 22:00/00:00',
    ],
    ['Thu 5-7pm and Fri 11-1', '? morning_or_evening 01-15 11:00/13:00 + 01-15 23:00/01:00'],
  ],
  'deadlines and small print': [
    ['Enrol by 12:00 tomorrow. Event Friday 17:30-18:30.', '01-15 17:30/18:30'],
    ['Event Friday 17:30-18:30, enrol by tomorrow noon', '01-15 17:30/18:30'],
    ['Event tomorrow 17:30-18:30. To cancel, reply STOP.', '01-14 17:30/18:30'],
    ['Event tomorrow 17:30-18:30. You can cancel at any time.', '01-14 17:30/18:30'],
    ['We are here 24/7. Event 17:30-18:30.', '01-13 17:30/18:30 [today]'],
    [
      'Use under 2.5 kWh tomorrow 17:30-18:30, earn £1.75 per kWh. Ref 20270114-77.',
      '01-14 17:30/18:30',
    ],
    ['Event tomorrow 17:30-18:30. Questions? Call 902-555-0142.', '01-14 17:30/18:30'],
    ['The event tomorrow 17:30-18:30 is not cancelled.', '01-14 17:30/18:30'],
  ],
  'ISO 8601': [
    ['2027-01-14T17:30-04:00/2027-01-14T18:30-04:00', '01-14 17:30/18:30'],
    ['2027-01-14T21:30Z/PT1H', '01-14 17:30/18:30'],
    ['2027-01-14T21:30:00.000Z/PT1H30M', '01-14 17:30/19:00'],
    ['2027-01-14T17:30/18:30', '01-14 17:30/18:30'],
    ['2027-01-14T17:30-18:30', '01-14 17:30/18:30'],
    ['2027-01-14T22:30+01:00/PT90M', '01-14 17:30/19:00'],
  ],
  'called off': [
    ['The event on Thursday 17:30-18:30 is cancelled', 'cancelled 01-14 17:30/18:30'],
    ['CANCELED: tomorrow 17:30-18:30', 'cancelled 01-14 17:30/18:30'],
    ['Tomorrow 5-7pm will not go ahead.', 'cancelled 01-14 17:00/19:00'],
    ['Event tomorrow 17:30-18:30.\nThis has been called off.', 'cancelled 01-14 17:30/18:30'],
    ['The battery event on Thursday 17:30-18:30 is cancelled', 'cancelled 01-14 17:30/18:30'],
    ["Thursday's event is cancelled", '? cancelled_without_time'],
    ['event cancelled', '? cancelled_without_time'],
    [
      "Thursday's event is cancelled. New event Friday 17:30-18:30.",
      '? cancelled_and_new 01-15 17:30/18:30',
    ],
    [
      "Thursday's is cancelled, Friday 17:30-18:30 instead",
      '? cancelled_and_new 01-15 17:30/18:30',
    ],
  ],
  moved: [
    ['Moved to tomorrow 18:00-19:00', 'moved 01-14 18:00/19:00'],
    ['moved from 17:30-18:30 to 18:00-19:00 tomorrow', 'moved 01-14 18:00/19:00'],
    ['Rescheduled: tomorrow 18:00-19:00 instead of 17:30-18:30', 'moved 01-14 18:00/19:00'],
    ["Tomorrow's event is now 18:00-19:00", 'moved 01-14 18:00/19:00'],
    [
      'moved from 17:30 to 18:30 tomorrow',
      '? moved_from_or_between 01-14 18:30/19:30 + 01-14 17:30/18:30',
    ],
    ["Thursday's event is postponed", '? moved_without_time'],
  ],
  'clocks change': [
    [
      '29 March 01:30-02:30',
      '? clock_change_gap 2026-03-29 02:30/03:30 + 2026-03-29 02:00/02:30',
      at('Europe/London', '2026-03-28T12:00Z'),
    ],
    ['29 March 00:30-02:30', '2026-03-29 00:30/02:30', at('Europe/London', '2026-03-28T12:00Z')],
    ['tomorrow 5-7pm', '2026-10-25 17:00/19:00', at('Europe/London', '2026-10-24T19:00+01:00')],
    [
      '25 Oct 01:30-02:30',
      '? clock_change_fold 2026-10-25 01:30/02:30 + 2026-10-25 01:30/02:30',
      at('Europe/London', '2026-10-24T19:00+01:00'),
    ],
    [
      '2026-11-01 01:15-01:45',
      '? clock_change_fold 2026-11-01 01:15/01:45 + 2026-11-01 01:15/01:45 + 2026-11-01 01:15/01:45',
      at('America/Halifax', '2026-10-31T12:00-03:00'),
    ],
    [
      '2026-11-01T01:30-03:00/2026-11-01T02:30-04:00',
      '2026-11-01 01:30/02:30',
      at('America/Halifax', '2026-10-31T12:00-03:00'),
    ],
    [
      'tomorrow 17:30-18:30',
      '2026-11-01 17:30/18:30',
      at('America/New_York', '2026-10-31T12:00-04:00'),
    ],
    [
      'tomorrow 2:15am-3:15am',
      '? clock_change_gap 2026-03-08 03:15/04:15 + 2026-03-08 03:00/03:15',
      at('America/New_York', '2026-03-07T12:00-05:00'),
    ],
    [
      'tomorrow 02:15-03:15',
      '? clock_change_fold 2026-04-05 02:15/03:15 + 2026-04-05 02:15/03:15',
      at('Australia/Sydney', '2026-04-04T12:00+11:00'),
    ],
    [
      'tomorrow 02:10-02:40',
      '? clock_change_gap 2026-10-04 02:40/03:10 + 2026-10-04 02:30/02:40',
      at('Australia/Lord_Howe', '2026-10-03T12:00+10:30'),
    ],
    [
      'tomorrow 01:45-02:15',
      '? clock_change_fold 2026-04-05 01:45/02:15 + 2026-04-05 01:45/02:15',
      at('Australia/Lord_Howe', '2026-04-04T12:00+11:00'),
    ],
    [
      'tomorrow 18:00-19:00',
      '2026-04-05 18:00/19:00',
      at('Australia/Lord_Howe', '2026-04-04T12:00+11:00'),
    ],
  ],
  'words that leave it open': [
    ['maybe tomorrow 5-6pm', '? only_perhaps 01-14 17:00/18:00'],
    ['tomorrow 17:30-18:30 or 19:00-20:00', '? only_perhaps 01-14 17:30/18:30 + 01-14 19:00/20:00'],
    ['Is there an event tomorrow 17:30-18:30?', '? only_perhaps 01-14 17:30/18:30'],
    ['Hold or shift your use tomorrow 17:30-18:30', '01-14 17:30/18:30'],
    ['You get £1 for each kWh. Tomorrow 17:30-18:30.', '01-14 17:30/18:30'],
    ['thursdays 5-7pm', '? repeating'],
    ['on the 32nd 17:30-18:30', '? no_day 01-13 17:30/18:30 + 01-14 17:30/18:30'],
    ['next week 17:30-18:30', '? no_day'],
    ['at the weekend, 17:30-18:30', '? no_day'],
    ['No session today 17:30-18:30', 'cancelled 01-13 17:30/18:30'],
    ['There is no event tomorrow', '? cancelled_without_time'],
  ],
  'weeks and other zones': [
    ['thursday next week 17:30-18:30', '01-21 17:30/18:30'],
    ['next week on thursday 17:30-18:30', '01-21 17:30/18:30'],
    ['14.1. 17:30-18:30', '01-14 17:30/18:30'],
    ['tomorrow 5pm-6pm AST', '01-14 17:00/18:00'],
    ['tomorrow 5pm-6pm EST', '? other_zone 01-14 17:00/18:00 + 01-14 18:00/19:00'],
    ['5pm to 6pm UTC tomorrow', '? other_zone 01-14 17:00/18:00 + 01-14 13:00/14:00'],
    ['tomorrow 5pm-6pm ET', '01-14 17:00/18:00', at('America/New_York', '2027-01-13T12:00-05:00')],
    ['20270114T213000Z/20270114T223000Z', '01-14 17:30/18:30'],
    ['From: 2027-01-14 17:30 To: 2027-01-14 18:30', '01-14 17:30/18:30'],
    ['Event tomorrow 17:30-18:30, moved from 18:00-19:00', 'moved 01-14 17:30/18:30'],
    ['Ref 884213. Date: 14/01/2027. Time: 17:30 to 18:30. Reward: £2.25/kWh.', '01-14 17:30/18:30'],
  ],
  'headings and office hours': [
    [
      'Date: Wed, 13 Jan 2027 09:12:00 -0400\nSubject: Peak event\n\nAn event will take place tomorrow from 5:30 p.m. to 6:30 p.m.\nCall us between 8 a.m. and 6 p.m. Mon-Fri.',
      '01-14 17:30/18:30',
    ],
    [
      'Received: from mail by mail; Wed, 13 Jan 2027 09:12:00 -0400 (AST)\n\nEvent tomorrow 17:30-18:30',
      '01-14 17:30/18:30',
    ],
    [
      'Sent: Wednesday, January 13, 2027 9:12 AM\nWe expect a peak tomorrow between 5:30 and 6:30 p.m.',
      '01-14 17:30/18:30',
    ],
    [
      'On Wed, 13 Jan 2027 at 09:12, somebody wrote:\n> Event tomorrow 17:30-18:30',
      '01-14 17:30/18:30',
    ],
    ['Date: 14 Jan 17:30', '? no_end 01-14 17:30/18:30 + 01-14 17:30/19:30 + 01-14 17:30/20:30'],
    ['Event tomorrow 17:30-18:30. Lines open 8-6.', '01-14 17:30/18:30'],
    ['Event tomorrow 17:30-18:30 (lines open 8-6)', '01-14 17:30/18:30'],
    ['Our office is open 8:30-4:30. Event tomorrow 17:30-18:30.', '01-14 17:30/18:30'],
    [
      'Peak event tomorrow 17:30-18:30. Customer service hours: Mon-Fri 8am-6pm, Sat 9am-1pm.',
      '01-14 17:30/18:30',
    ],
    ["Contact us if you can't take part tomorrow 17:30-18:30", '01-14 17:30/18:30'],
    ['Office hours 8-6', 'nothing'],
  ],
  'days in words that are not known': [
    ['lundi 17:30-18:30', '? no_day 01-13 17:30/18:30 + 01-14 17:30/18:30'],
    ['17:30-18:30 mañana', '? no_day 01-13 17:30/18:30 + 01-14 17:30/18:30'],
    ['xmas eve 17:30-18:30', '? no_day 01-13 17:30/18:30 + 01-14 17:30/18:30'],
    [
      'on lundi from 17:30 to 18:30 please use less energy',
      '? no_day 01-13 17:30/18:30 + 01-14 17:30/18:30',
    ],
    ['Event 17:30-18:30, reply YES', '01-13 17:30/18:30 [today]'],
  ],
  'hours of the morning': [
    ['tomorrow 9:00-11:00', '? morning_or_evening 01-14 09:00/11:00 + 01-14 21:00/23:00'],
    ['tomorrow 09:00-11:00', '01-14 09:00/11:00'],
    ['tomorrow 7:00-9:00 and 17:00-19:00', '01-14 07:00/09:00 + 01-14 17:00/19:00'],
  ],
  'no announcement': [
    ['', 'nothing'],
    ['hello', 'nothing'],
    ['Thanks for taking part!', 'nothing'],
    ['See you on Thursday', 'nothing'],
    ['My number is 902-555-0142', 'nothing'],
    ['call 0800 123 4567 tomorrow', 'nothing'],
    ['it costs £5-7 tomorrow', 'nothing'],
    ['the price is 5.30-6.30 p/kWh', 'nothing'],
    ['we use 5-7 kWh a day', 'nothing'],
    ['about 10-15 minutes', 'nothing'],
    ['order 17301830 shipped', 'nothing'],
    ['invoice no 1730-1830', 'nothing'],
    ['version 5.30', 'nothing'],
    ['the season 2026-2027', 'nothing'],
    ['there were 5-7 people on thursday', 'nothing'],
    ['58 %', 'nothing'],
    ['room 17-18', 'nothing'],
    ['25:00-26:00 tomorrow', 'nothing'],
    ['tomorrow 5-6%', 'nothing'],
    ['usage was 5-7 lately', 'nothing'],
    ['score 3-2', 'nothing'],
    ['price 0.28-0.31 tomorrow', 'nothing'],
    ['🙂🙂🙂', 'nothing'],
  ],
}

const show = (ms: number, { timeZone, now }: Where, first: boolean) => {
  const local = DateTime.fromMillis(ms, { zone: timeZone })
  const year = local.year === DateTime.fromISO(now).year && local.year === 2027 ? '' : 'yyyy-'
  return local.toFormat(first ? `${year}MM-dd HH:mm` : 'HH:mm')
}

function given(text: string, where: Where): string {
  const reading = readAnnouncement(text, {
    now: asInstant(DateTime.fromISO(where.now).toMillis()),
    timeZone: where.timeZone,
    dayFirst: where.dayFirst,
    language: 'en',
  })
  if (reading.kind === 'nothing') return 'nothing'
  const spans = (list: readonly { start: number; end: number }[]) =>
    list
      .map(({ start, end }) => `${show(start, where, true)}/${show(end, where, false)}`)
      .join(' + ')
  if (reading.kind === 'question')
    return `? ${reading.why.reason} ${spans(reading.candidates)}`.trimEnd()
  const assumed = [...new Set(reading.events.flatMap((event) => event.assumed))]
  const change = reading.change === 'new' ? '' : `${reading.change} `
  return `${change}${spans(reading.events)}${assumed.length > 0 ? ` [${assumed.join(',')}]` : ''}`
}

for (const [group, rows] of Object.entries(corpus)) {
  describe(group, () => {
    for (const [text, gives, where = HALIFAX] of rows)
      test(`${JSON.stringify(text)} gives ${gives}`, () => {
        expect(given(text, where)).toBe(gives)
      })
  })
}

const count = (keep: (gives: string) => boolean) =>
  Object.values(corpus)
    .flat()
    .filter(([, gives]) => keep(gives)).length

test('the corpus is as large as it claims', () => {
  expect(count(() => true)).toBeGreaterThanOrEqual(100)
  expect(count((gives) => gives.startsWith('?'))).toBeGreaterThanOrEqual(25)
  expect(count((gives) => gives === 'nothing')).toBeGreaterThanOrEqual(15)
})

afterAll(() => {
  const lines = Object.entries(corpus).map(
    ([group, rows]) =>
      `  ${group}: ${rows.length}, of which ${rows.filter(([, gives]) => gives.startsWith('?')).length} ask`,
  )
  console.log(`announcement corpus, ${count(() => true)} messages:\n${lines.join('\n')}`)
})
