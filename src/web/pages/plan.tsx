// The household's page: the answer, what to do now, the curve, the conversation, and the rest in order of need.

import { Chart, ChartDays, PlanTable } from '../../chart/index.ts'
import type { Instant } from '../../plan/index.ts'
import { type Household, type Reminder, provenText, upcoming } from '../../reminder/index.ts'
import {
  type Format,
  channelsPageWords,
  format,
  meterPageWords,
  pageWords,
  peopleWords,
  pricesWords,
  sunWords,
} from '../../words/index.ts'
import { type Due, answerOf, askedOf, dueOf, needsReading, nextOf, revisionOf } from './answer.ts'
import { Appliances } from './appliances.tsx'
import { Cautions } from './cautions.tsx'
import { DueNow, LookNow } from './due.tsx'
import { Events, FillIn } from './events.tsx'
import { FirstLine, answerLine, timeSeen } from './first-line.tsx'
import type { FieldError } from './form.tsx'
import { Checkbox, ErrorSummary, Post } from './form.tsx'
import { Layout } from './layout.tsx'
import { Why } from './ledger.tsx'
import { Reminders } from './reminders.tsx'
import { Talk } from './talk.tsx'
import { LastAnswer, WhoIsNotTold } from './told.tsx'
import { WorthIt } from './worth.tsx'

export type PlanPageProps = {
  readonly household: Household
  readonly now: Instant
  readonly csrf: string
  /** The calendar's address when it can be shown; only its hash may be kept, so it often cannot. */
  readonly links: { readonly calendarUrl: string | null }
  /** The clock runs fast. */
  readonly rehearsal?: boolean
  /** The settings were changed a moment ago. */
  readonly saved?: boolean
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
  const asked = askedOf(household, now)
  const looks = asked !== null || needsReading(answer)
  const shared = { household, now, f, csrf }
  const first = { ...shared, answer, restore: due?.kind === 'restore' }
  return (
    <Layout
      title={answerLine(first).replaceAll('**', '')}
      lang={settings.language}
      scripts={['/live.js']}
      pollMs={pollMs}
      revision={revisionOf(household, now)}
      wrong={errors.length > 0}
    >
      {settings.demo && !rehearsal ? <p class="banner">{pageWords.banner.demo}</p> : null}
      {rehearsal ? <p class="banner">{pageWords.banner.rehearsal(f.time(now))}</p> : null}
      <ErrorSummary errors={errors} />
      {props.saved ? (
        <p class="notice" role="status">
          {pageWords.saved}
        </p>
      ) : null}
      <FirstLine {...first} />
      {due === null ? null : <DueNow due={due} household={household} csrf={csrf} />}
      {looks ? (
        <LookNow {...shared} asked={asked} answer={answer} refused={refused} first={due === null} />
      ) : null}
      <LastAnswer {...shared} />
      <Next household={household} now={now} due={due?.reminder ?? null} />
      <WhoIsNotTold household={household} f={f} />
      <Proven household={household} f={f} now={now} />
      {household.plan === null || !('plan' in answer) ? null : (
        <Curve {...shared} plan={household.plan} due={due?.kind ?? null} />
      )}
      {household.plan === null || !('plan' in answer) ? null : (
        <Why household={household} householdPlan={household.plan} plan={answer.plan} f={f} />
      )}
      {'plan' in answer && now < answer.event.start ? (
        <WorthIt household={household} eventId={answer.event.id} f={f} />
      ) : null}
      <Talk
        messages={household.messages}
        reminders={household.reminders}
        now={now}
        f={f}
        csrf={csrf}
      />
      <FillIn {...shared} answer={answer} asked={looks} refused={refused} />
      <Events {...shared} refused={refused} />
      <Reminders household={household} now={now} f={f} />
      <Appliances household={household} now={now} f={f} />
      <Cautions />
      <ThisHousehold csrf={csrf} calendarUrl={links.calendarUrl} demo={settings.demo} />
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

/** On how many of the past days the next event's plan would have worked. */
const Proven = (props: {
  readonly household: Household
  readonly f: Format
  readonly now: Instant
}) => {
  const { household, f, now } = props
  const [event] = upcoming(household, now)
  if (event === undefined || event.heldAt !== null) return null
  const [proof] = provenText(household, event, f.time)
  return proof === undefined ? null : <p class="when">{proof}</p>
}

const Curve = (props: {
  readonly household: Household
  readonly plan: NonNullable<Household['plan']>
  readonly now: Instant
  readonly due: Due['kind'] | null
}) => {
  const { household, plan, now, due } = props
  const { timeZone, language } = household.settings
  const chart = {
    plan,
    events: household.events,
    now,
    timeZone,
    language,
    due: due === 'hold' || due === 'release' ? due : null,
  }
  return (
    <figure>
      <ChartDays {...chart} />
      <Chart {...chart} />
      <PlanTable {...chart} />
    </figure>
  )
}

const ThisHousehold = (props: {
  readonly csrf: string
  readonly calendarUrl: string | null
  readonly demo: boolean
}) => {
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
        </a>{' '}
        <a class="button" href="/people">
          {peopleWords.link}
        </a>{' '}
        <a class="button" href="/channels">
          {channelsPageWords.link}
        </a>{' '}
        <a class="button" href="/sun">
          {sunWords.link}
        </a>{' '}
        <a class="button" href="/prices">
          {pricesWords.link}
        </a>{' '}
        <a class="button" href="/meter">
          {meterPageWords.link}
        </a>
      </p>
      <Post action="/leave" csrf={props.csrf}>
        <p class="hint">{props.demo ? words.leaveDemoHint : words.leaveHint}</p>
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
