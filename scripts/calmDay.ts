// The messages of a calm event day, as the README shows them: the real code, with a person who answers each in its time.
// `node scripts/calmDay.ts` prints it; a test compares it with the README.

import { converse } from '../src/chat/index.ts'
import { type Instant, MINUTE_MS, asInstant } from '../src/plan/index.ts'
import {
  type Decision,
  type Household,
  type Settings,
  WEBHOOK,
  decide,
  newHousehold,
  nextWake,
} from '../src/reminder/index.ts'
import { demoHouse } from '../src/web/demo.ts'
import { format } from '../src/words/index.ts'

const ZONE = 'America/Halifax'
const at = (text: string): Instant => asInstant(Date.parse(`${text}:00-04:00`))

const settings: Settings = {
  ...demoHouse,
  howToHold: '',
  howToRelease: '',
  people: [{ name: 'Ada', away: [], absences: [], quiet: { from: '22:30', until: '06:30' } }],
}

const home: Household = {
  ...newHousehold('calm', settings),
  channels: [
    {
      id: 'c1',
      person: 'Ada',
      label: 'chat with Ada',
      target: { kind: 'telegram', chatId: '1', group: false },
      state: 'on',
      last: null,
    },
  ],
}

/** What Ada answers to what she is asked, and how many minutes after. */
const ANSWERS: readonly { readonly kind: string; readonly says: string; readonly after: number }[] =
  [
    { kind: 'reading', says: '41', after: 2 },
    { kind: 'hold', says: 'done', after: 3 },
    { kind: 'release', says: 'done', after: 1 },
    { kind: 'outcome', says: '14', after: 4 },
  ]

type Line = { readonly at: Instant; readonly who: 'Ada' | 'Holdbell'; readonly text: string }

/** The conversation in Ada's chat, from the evening before to the evening of the event. */
export function calmDay(): readonly Line[] {
  const lines: Line[] = []
  let household = home
  let now = at('2027-01-13T19:04')
  const keep = (decision: Decision): Household => {
    const sent = decision.effects.map(({ deliveryId }) => deliveryId)
    household = sent.reduce(
      (state, deliveryId) =>
        decide(
          { type: 'attempted', deliveryId, attempt: { kind: 'accepted', handle: '1' } },
          state,
          now,
        ).household,
      decision.household,
    )
    return household
  }
  const says = (text: string) => {
    const seen = household.messages.at(-1)?.seq ?? 0
    lines.push({ at: now, who: 'Ada', text })
    keep(converse(household, text, now, { by: 'Ada', channel: 'c1' }))
    const replies = household.messages.filter(({ seq, from }) => seq > seen && from === 'holdbell')
    lines.push({ at: now, who: 'Holdbell', text: replies.map((each) => each.text).join(' ') })
  }

  says('55')
  says('tomorrow 17:30-18:30')
  while (now < at('2027-01-14T22:00')) {
    const next = nextWake(household)
    if (next === null) break
    now = asInstant(Math.max(now, next))
    const before = new Set(household.deliveries.map(({ id }) => id))
    keep(decide({ type: 'wake' }, household, now))
    for (const { id, channel, purpose, reminderKey, kind } of household.deliveries) {
      if (before.has(id) || channel === WEBHOOK || purpose !== 'ask') continue
      const text = household.reminders.find(({ key }) => key === reminderKey)?.text ?? ''
      lines.push({ at: now, who: 'Holdbell', text })
      const answer = ANSWERS.find((each) => each.kind === kind)
      if (answer === undefined) continue
      now = asInstant(now + answer.after * MINUTE_MS)
      says(answer.says)
    }
  }
  return lines
}

/** As the README has it. */
export function transcript(): string {
  const f = format('en', ZONE)
  const rows = calmDay().map(({ at: when, who, text }) => `| ${f.time(when)} | ${who} | ${text} |`)
  return ['| | | |', '|---|---|---|', ...rows]
    .join('\n')
    .replaceAll('\u00a0', ' ')
    .replaceAll('\u202f', ' ')
}

if (process.argv[1] === import.meta.filename) console.log(transcript())
