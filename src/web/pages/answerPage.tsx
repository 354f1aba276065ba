// The page of one reminder, as a link in a message opens it: what is asked, how to answer, or who did. It shows nothing else
// of the household, and needs no cookie: the address is the proof.

import type { Instant } from '../../plan/index.ts'
import {
  type Household,
  type Reminder,
  formatOf,
  isOpen,
  plannedEvent,
  reminderText,
} from '../../reminder/index.ts'
import type { Tap } from '../../delivery/index.ts'
import { answerPageWords as words } from '../../words/index.ts'
import { ErrorSummary, Field, type FieldError } from './form.tsx'
import { Layout } from './layout.tsx'
import { errorOf } from './rows.tsx'

export type AnswerPageProps = {
  readonly household: Household
  readonly reminder: Reminder
  readonly now: Instant
  /** What can be pressed while it is open. */
  readonly taps: readonly Tap[]
  /** What became of it, where it is over. */
  readonly settled: string
  /** Its own address, that its forms post to. */
  readonly path: string
  readonly errors?: readonly FieldError[]
  /** The reading that could not be taken. */
  readonly typed?: string
}

export function AnswerPage(props: AnswerPageProps) {
  const { household, reminder, now, taps, settled, path, errors = [], typed } = props
  const f = formatOf(household)
  const title = words.title[reminder.kind]
  const open = isOpen(reminder) && now < reminder.uselessAfter
  const asked = reminder.sentAt ?? reminder.dueAt
  return (
    <Layout title={title} lang={household.settings.language} wrong={errors.length > 0}>
      <ErrorSummary errors={errors} />
      <h1>{title}</h1>
      {open ? (
        <>
          <p>{textNow(household, reminder, now)}</p>
          <section class="due-now" aria-label={words.toDo}>
            {taps.map(({ label, does }) => (
              <Act path={path} does={does} label={label} class={does === 'done' ? 'due' : null} />
            ))}
            {reminder.kind === 'reading' || reminder.kind === 'outcome' ? (
              <form method="post" action={path} class="say">
                <input type="hidden" name="do" value="reading" />
                <Field
                  name="socPct"
                  label={words.reading}
                  inputmode="decimal"
                  value={typed}
                  error={errorOf(errors, 'socPct')}
                  narrow
                />
                <button type="submit">{words.readingSend}</button>
              </form>
            ) : null}
          </section>
        </>
      ) : (
        <p class="notice" role="status">
          {settled}
        </p>
      )}
      <p class="when">
        {words.asked(f.day(asked), f.time(asked))}{' '}
        {open && reminder.nextAt !== null && reminder.nextAt > now
          ? words.again(f.time(reminder.nextAt))
          : null}
      </p>
      {canTakeBack(reminder, now) ? (
        <>
          <p class="hint">{words.notYetHint}</p>
          <Act path={path} does="not-yet" label={words.notYet} class={null} />
        </>
      ) : null}
    </Layout>
  )
}

const Act = (props: {
  readonly path: string
  readonly does: 'done' | 'later' | 'not-yet'
  readonly label: string
  readonly class: string | null
}) => (
  <form method="post" action={props.path}>
    <button type="submit" name="do" value={props.does} class={props.class ?? undefined}>
      {props.label}
    </button>
  </form>
)

type Hands = 'hold' | 'release' | 'restore' | 'overnight'
const HANDS: ReadonlySet<Reminder['kind']> = new Set<Hands>([
  'hold',
  'release',
  'restore',
  'overnight',
])

/** An answer that hands gave can be taken back while the reminder would still help. */
export const canTakeBack = (
  reminder: Reminder,
  now: Instant,
): reminder is Reminder & { readonly kind: Hands } =>
  reminder.state === 'acknowledged' && now < reminder.uselessAfter && HANDS.has(reminder.kind)

/** In words that are right now, where what they come from is here; else as it was sent last. */
function textNow(household: Household, reminder: Reminder, now: Instant): string {
  const { kind, eventId, text } = reminder
  const plan = plannedEvent(household, eventId)
  if (kind === 'hold' && plan === null) return text ?? ''
  if (kind === 'overnight' && !plan?.topUp) return text ?? ''
  // How long it lasts when held late is reckoned from past days, which stay inside the object.
  const isLate = kind === 'hold' && now >= (plan?.holdBy ?? Infinity)
  if (isLate && household.meter !== null) return text ?? ''
  return reminderText(household, reminder, now)
}

/** A page that asks for one button, or says that it was pressed. */
export const OneButtonPage = (props: {
  readonly words: {
    readonly title: string
    readonly what: string
    readonly go: string
    readonly doneTitle: string
    readonly done: string
  }
  readonly path: string
  /** What the button's form says (RFC 8058 for the one that stops). */
  readonly says: { readonly name: string; readonly value: string }
  readonly done: boolean
}) => {
  const { path, says, done } = props
  const { title, what, go, doneTitle, done: doneWords } = props.words
  return (
    <Layout title={done ? doneTitle : title} lang="en">
      <h1>{done ? doneTitle : title}</h1>
      <p role={done ? 'status' : undefined}>{done ? doneWords : what}</p>
      {done ? null : (
        <form method="post" action={path}>
          <button type="submit" class="main-button" name={says.name} value={says.value}>
            {go}
          </button>
        </form>
      )}
    </Layout>
  )
}
