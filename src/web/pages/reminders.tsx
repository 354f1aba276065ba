// Reminders to come, and what became of the others.

import type { Instant } from '../../plan/index.ts'
import type { Reminder } from '../../reminder/index.ts'
import type { Format } from '../../words/index.ts'
import { pageWords } from '../../words/index.ts'
import { timeSeen } from './first-line.tsx'

const EARLIER_SHOWN = 12

type Props = { readonly reminders: readonly Reminder[]; readonly now: Instant; readonly f: Format }

export const Reminders = ({ reminders, now, f }: Props) => {
  const words = pageWords.reminders
  const byTime = reminders.toSorted((a, b) => a.dueAt - b.dueAt)
  const open = byTime.filter(({ state }) => state === 'waiting' || state === 'sent')
  const closed = byTime.filter(({ state }) => state !== 'waiting' && state !== 'sent')
  return (
    <section aria-labelledby="reminders">
      <h2 id="reminders">{words.heading}</h2>
      {byTime.length === 0 ? <p>{words.empty}</p> : null}
      {open.length === 0 ? null : <ReminderTable reminders={open} now={now} f={f} />}
      {closed.length === 0 ? null : (
        <details id="earlier">
          <summary>{words.earlier(String(closed.length))}</summary>
          <ReminderTable reminders={closed.slice(-EARLIER_SHOWN)} now={now} f={f} />
        </details>
      )}
    </section>
  )
}

const ReminderTable = ({ reminders, now, f }: Props) => {
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
            <td>{stateLine(reminder, now, f)}</td>
          </tr>
        ))}
      </tbody>
    </table>
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
    default:
      return words[reminder.state]
  }
}
