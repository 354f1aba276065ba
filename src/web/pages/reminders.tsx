// Reminders to come, and what became of the others.

import type { Instant } from '../../plan/index.ts'
import type { Household, Reminder } from '../../reminder/index.ts'
import type { Format } from '../../words/index.ts'
import { pageWords } from '../../words/index.ts'
import { timeSeen } from './first-line.tsx'
import { answeredBy, toldLine } from './told.tsx'

const EARLIER_SHOWN = 12

type Props = { readonly household: Household; readonly now: Instant; readonly f: Format }

export const Reminders = (props: Props) => {
  const words = pageWords.reminders
  const byTime = props.household.reminders.toSorted((a, b) => a.dueAt - b.dueAt)
  const open = byTime.filter(({ state }) => state === 'waiting' || state === 'sent')
  const closed = byTime.filter(({ state }) => state !== 'waiting' && state !== 'sent')
  return (
    <section aria-labelledby="reminders">
      <h2 id="reminders">{words.heading}</h2>
      {byTime.length === 0 ? <p>{words.empty}</p> : null}
      {open.length === 0 ? null : <ReminderTable {...props} reminders={open} />}
      {closed.length === 0 ? null : (
        <details id="earlier">
          <summary>{words.earlier(String(closed.length))}</summary>
          <ReminderTable {...props} reminders={closed.slice(-EARLIER_SHOWN)} />
        </details>
      )}
    </section>
  )
}

const ReminderTable = (props: Props & { readonly reminders: readonly Reminder[] }) => {
  const { reminders, now, f } = props
  const words = pageWords.reminders
  return (
    <table class="rows">
      <caption class="unseen">{words.heading}</caption>
      <thead>
        <tr>
          <th scope="col">{words.when}</th>
          <th scope="col">{words.what}</th>
          <th scope="col">{words.state}</th>
        </tr>
      </thead>
      <tbody>
        {reminders.map((reminder) => (
          <tr>
            <td>{timeSeen(reminder.nextAt ?? reminder.dueAt, now, f)}</td>
            <th scope="row">{pageWords.reminderKind[reminder.kind]}</th>
            <td>
              {stateLine(reminder, now, f)}
              <Record {...props} reminder={reminder} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** Who was told, and who answered. */
const Record = ({ household, reminder, now, f }: Props & { readonly reminder: Reminder }) => {
  const answered = reminder.state === 'acknowledged' && reminder.kind !== 'plan'
  const lines = [toldLine(household, reminder, now, f), answered ? answeredBy(reminder) : null]
  const said = lines.filter((line) => line !== null)
  return said.length === 0 ? null : (
    <>
      <br />
      <small>{said.join(' ')}</small>
    </>
  )
}

function stateLine(reminder: Reminder, now: Instant, f: Format): string {
  const words = pageWords.reminderState
  // A plan is told, and asks for no answer.
  if (reminder.kind === 'plan' && reminder.sentAt !== null)
    return words.told(timeSeen(reminder.sentAt, now, f))
  switch (reminder.state) {
    case 'sent':
      return words.sent(timeSeen(reminder.sentAt ?? reminder.dueAt, now, f))
    case 'acknowledged':
      return words.acknowledged(timeSeen(reminder.acknowledgedAt ?? reminder.dueAt, now, f))
    case 'missed':
      return reminder.missedBecause === null
        ? words.missed
        : pageWords.missedBecause[reminder.missedBecause]
    default:
      return words[reminder.state]
  }
}
