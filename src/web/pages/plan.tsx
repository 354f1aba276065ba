// The household's page: the answer, what to do now, the curve, the conversation, and the rest in order of need.

import { Chart, ChartDays, PlanTable } from '../../chart/index.ts'
import type { Instant } from '../../plan/index.ts'
import type { Household, Reminder } from '../../reminder/index.ts'
import { format, pageWords } from '../../words/index.ts'
import { answerOf, dueOf, needsReading, readingAsked, nextOf, revisionOf } from './answer.ts'
import { Cautions } from './cautions.tsx'
import { DueNow } from './due.tsx'
import { Events, FillIn, ReadingForm } from './events.tsx'
import { FirstLine, answerLine, timeSeen } from './first-line.tsx'
import type { FieldError } from './form.tsx'
import { Checkbox, ErrorSummary, Post } from './form.tsx'
import { Layout } from './layout.tsx'
import { Why } from './ledger.tsx'
import { Reminders } from './reminders.tsx'
import { Talk } from './talk.tsx'

export type PlanPageProps = {
  readonly household: Household
  readonly now: Instant
  readonly csrf: string
  /** The calendar's address when it can be shown; only its hash may be kept, so it often cannot. */
  readonly links: { readonly calendarUrl: string | null }
  /** The clock runs fast. */
  readonly rehearsal?: boolean
  /** One of the page's own forms could not be taken. */
  readonly errors?: readonly FieldError[]
  /** What was typed into that form. */
  readonly typed?: Readonly<Record<string, string>>
  readonly pollMs?: number
}

export function PlanPage(props: PlanPageProps) {
  const { household, now, csrf, links, rehearsal = false, errors = [], pollMs = 5000 } = props
  const refused = errors.map(({ field }) => ({ field, typed: props.typed ?? {} }))[0] ?? null
  const { settings } = household
  const f = format(settings.language, settings.timeZone)
  const answer = answerOf(household, now)
  const due = dueOf(household, now)
  const asksReading = needsReading(answer) || readingAsked(household, now)
  const shared = { household, now, f, csrf }
  return (
    <Layout
      title={answerLine({ ...shared, answer }).replaceAll('**', '')}
      lang={settings.language}
      scripts={['/live.js']}
      pollMs={pollMs}
      revision={revisionOf(household, now)}
      wrong={errors.length > 0}
    >
      {settings.demo && !rehearsal ? <p class="banner">{pageWords.banner.demo}</p> : null}
      {rehearsal ? <p class="banner">{pageWords.banner.rehearsal(f.time(now))}</p> : null}
      <ErrorSummary errors={errors} />
      <FirstLine {...shared} answer={answer} />
      {asksReading ? <ReadingForm csrf={csrf} due refused={refused} /> : null}
      {due === null ? null : <DueNow due={due} household={household} csrf={csrf} />}
      <Next household={household} now={now} due={due?.reminder ?? null} />
      {household.plan === null || !('plan' in answer) ? null : (
        <Curve {...shared} plan={household.plan} due={due?.kind ?? null} />
      )}
      {household.plan === null || !('plan' in answer) ? null : (
        <Why household={household} householdPlan={household.plan} plan={answer.plan} f={f} />
      )}
      <Talk messages={household.messages} now={now} f={f} csrf={csrf} />
      <FillIn {...shared} answer={answer} asked={asksReading} refused={refused} />
      <Events {...shared} refused={refused} />
      <Reminders reminders={household.reminders} now={now} f={f} />
      <Cautions />
      <ThisHousehold csrf={csrf} calendarUrl={links.calendarUrl} />
    </Layout>
  )
}

const Next = (props: {
  readonly household: Household
  readonly now: Instant
  /** What is asked of hands now. */
  readonly due: Reminder | null
}) => {
  const { household, now, due } = props
  const f = format(household.settings.language, household.settings.timeZone)
  const again = due?.nextAt ?? null
  if (again !== null) return <p class="when">{pageWords.due.again(timeSeen(again, now, f))}</p>
  const next = nextOf(household)
  if (next === null || next.nextAt === null) return null
  const what = pageWords.reminderKind[next.kind]
  return <p class="when">{pageWords.due.next(what, timeSeen(next.nextAt, now, f))}</p>
}

const Curve = (props: {
  readonly household: Household
  readonly plan: NonNullable<Household['plan']>
  readonly now: Instant
  readonly due: 'hold' | 'release' | 'restore' | null
}) => {
  const { household, plan, now, due } = props
  const { timeZone, language } = household.settings
  const chart = {
    plan,
    events: household.events,
    now,
    timeZone,
    language,
    due: due === 'restore' ? null : due,
  }
  return (
    <figure>
      <ChartDays {...chart} />
      <Chart {...chart} />
      <PlanTable {...chart} />
    </figure>
  )
}

const ThisHousehold = (props: { readonly csrf: string; readonly calendarUrl: string | null }) => {
  const words = pageWords.more
  return (
    <footer>
      <h2>{words.heading}</h2>
      {props.calendarUrl === null ? null : (
        <>
          <p>
            {words.calendar}. <span class="hint">{words.calendarHint}</span>
          </p>
          <code class="key">{props.calendarUrl}</code>
        </>
      )}
      <p>
        <a class="button" href="/settings">
          {words.settings}
        </a>
      </p>
      <Post action="/leave" csrf={props.csrf}>
        <p class="hint">{words.leaveHint}</p>
        <button type="submit">{words.leave}</button>
      </Post>
      <details>
        <summary>{words.erase}</summary>
        <Post action="/delete" csrf={props.csrf}>
          <Checkbox name="sure" label={words.eraseSure} checked={false} required />
          <button type="submit">{words.eraseNow}</button>
        </Post>
      </details>
    </footer>
  )
}
