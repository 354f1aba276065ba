// The page of the household's meter data: what is kept, a file to add, the question that a file raised, what the last
// one held.

import type { MeterReport, OpenQuestion } from '../../household/index.ts'
import { sayQuestion, sayTaken } from '../../meter/index.ts'
import { DAY_MS, type Instant, WIDE_LOOK_BACK_DAYS, asInstant } from '../../plan/index.ts'
import { type Household, type MeterHistory, fedFromElsewhere } from '../../reminder/index.ts'
import { type Format, format, meterPageWords as words } from '../../words/index.ts'
import { Certainty } from './certainty.tsx'
import { Checkbox, ErrorSummary, type FieldError, Hints, Post } from './form.tsx'
import { Layout } from './layout.tsx'

export type MeterPageProps = {
  readonly household: Household
  readonly now: Instant
  readonly csrf: string
  readonly last: MeterReport | null
  readonly open: OpenQuestion | null
  /** What was done a moment ago. */
  readonly done?: 'taken' | 'forgotten' | 'dropped' | 'certainty' | null
  readonly errors?: readonly FieldError[]
}

/** `14 January 2027` for a calendar day as it is kept, `2027-01-14`. */
const dateOf = (day: string, language: string): string =>
  format(language, 'UTC').date(asInstant(Date.parse(day)))

/** Gaps and rows that are written out; the API lists more. */
const MOST_SHOWN = 4

export function MeterPage(props: MeterPageProps) {
  const { household, now, csrf, last, open, done, errors = [] } = props
  const { settings, meter } = household
  const f = format(settings.language, settings.timeZone)
  const date = (day: string) => dateOf(day, settings.language)
  const wrong = errors.find(({ field }) => field === 'file')?.message
  return (
    <Layout
      title={words.title}
      lang={settings.language}
      scripts={['/upload.js']}
      wrong={errors.length > 0}
    >
      <ErrorSummary errors={errors} />
      <h1>{words.title}</h1>
      <p>
        <a href="/plan">{words.back}</a>
      </p>
      <Notice done={done ?? null} unchanged={wrong !== undefined && meter !== null} />
      <p>{words.why}</p>
      {open === null ? null : <Question open={open} csrf={csrf} />}
      <Kept meter={meter} now={now} f={f} date={date} />
      {last === null || meter === null ? null : <Told report={last} f={f} date={date} />}
      <section aria-labelledby="add">
        <h2 id="add">{words.add.heading}</h2>
        <ol>
          {words.add.how.map((each) => (
            <li>{each}</li>
          ))}
        </ol>
        <p>{words.add.house}</p>
        {meter === null ? null : <p>{words.add.later}</p>}
        <form
          method="post"
          action="/meter"
          enctype="multipart/form-data"
          id="upload"
          data-too-large={words.refused.tooLarge}
        >
          <input type="hidden" name="csrf" value={csrf} />
          <div class={wrong === undefined ? 'field' : 'field field-wrong'}>
            <label for="file">{words.add.label}</label>
            <Hints id="file" hint={words.add.hint} error={wrong} />
            <input
              id="file"
              name="file"
              type="file"
              accept=".csv,.txt,.tsv,.xml,text/csv,text/plain,application/xml,text/xml"
              required
              aria-describedby={wrong === undefined ? 'file-hint' : 'file-hint file-wrong'}
              aria-invalid={wrong === undefined ? undefined : 'true'}
            />
          </div>
          <button type="submit" class={open === null ? 'main-button' : undefined}>
            {words.add.send}
          </button>
        </form>
      </section>
      {meter === null ? null : <Certainty settings={settings} csrf={csrf} />}
      {meter === null ? null : (
        <footer>
          <details>
            <summary>{words.forget.heading}</summary>
            <Post action="/meter/forget" csrf={csrf}>
              <Checkbox name="sure" label={words.forget.sure} checked={false} required />
              <button type="submit">{words.forget.now}</button>
            </Post>
          </details>
        </footer>
      )}
    </Layout>
  )
}

type Shown = { readonly f: Format; readonly date: (day: string) => string }

const Notice = (props: { readonly done: MeterPageProps['done']; readonly unchanged: boolean }) => {
  const said = {
    taken: words.told.justTaken,
    forgotten: words.forget.done,
    dropped: words.forget.dropped,
    certainty: words.certainty.saved,
    unchanged: words.refused.unchanged,
  }
  const what = props.unchanged ? 'unchanged' : props.done
  return what ? (
    <p class="notice" role="status">
      {said[what]}
    </p>
  ) : null
}

const Question = ({ open, csrf }: { readonly open: OpenQuestion; readonly csrf: string }) => {
  const said = sayQuestion(open.question)
  return (
    <section class="advice" aria-labelledby="question" id="asked" tabindex={-1}>
      <h2 id="question">{words.question.heading}</h2>
      <p>
        <strong>{said.text}</strong>
      </p>
      <p>{words.question.nothingYet}</p>
      <Post action="/meter/answer" csrf={csrf} class="choices">
        <input type="hidden" name="about" value={open.question.about} />
        {said.choices.map(({ text }, i) => (
          <button type="submit" name="choice" value={String(i)}>
            {text}
          </button>
        ))}
        <button type="submit" name="choice" value="none" class="apart">
          {words.question.aside}
        </button>
      </Post>
    </section>
  )
}

const Kept = (props: Shown & { readonly meter: MeterHistory | null; readonly now: Instant }) => {
  const { meter, now, f, date } = props
  const age = meter === null ? 0 : Math.floor((now - Date.parse(meter.until)) / DAY_MS)
  const { kept } = words
  return (
    <section aria-labelledby="kept">
      <h2 id="kept">{kept.heading}</h2>
      {meter === null ? (
        <p>{kept.none}</p>
      ) : (
        <>
          <p>
            {meter.wholeDays === 0
              ? kept.noWholeDay(date(meter.from), date(meter.until))
              : kept.days(meter.wholeDays, date(meter.from), date(meter.until))}{' '}
            {meter.missingDays === 0 ? '' : kept.missing(meter.missingDays)}
          </p>
          {fedFromElsewhere(meter) ? <p>{kept.idle(f.pct(100 * meter.idleShare))}</p> : null}
          {age > WIDE_LOOK_BACK_DAYS ? <p>{kept.old(age)}</p> : null}
          <p class="when">{kept.taken(f.day(meter.takenAt), f.time(meter.takenAt))}</p>
          <p>
            <a href="/meter/readings.csv">{kept.file}</a>
          </p>
        </>
      )}
    </section>
  )
}

const Told = ({ report, f, date }: Shown & { readonly report: MeterReport }) => {
  const { told } = words
  const { understood, gaps, skippedRows } = report
  const days = report.days && {
    ...report.days,
    from: date(report.days.from),
    until: date(report.days.until),
  }
  const when = (at: Instant) => told.when(f.date(at), f.time(at))
  const column = understood.columns.filter(({ role }) => role === 'energy')
  const rows: readonly (readonly [string, string])[] = [
    [told.span, told.spanOf(when(report.from), when(report.until))],
    [told.interval, told.intervalOf(understood.minutes)],
    [
      told.figures,
      told.figuresOf(
        understood.unit,
        understood.flow,
        column.length === 1 ? (column[0]?.name ?? '') : '',
      ),
    ],
    [told.stamps, told.stampsOf(understood.stamps, understood.clock)],
    ...(understood.dateOrder === null
      ? []
      : [[told.dates, told.datesOf[understood.dateOrder]] as const]),
  ]
  const longest = gaps.count > 1 ? report.longestGap : null
  const others = gaps.first.filter(({ start }) => start !== longest?.start).slice(0, MOST_SHOWN - 1)
  const unsaid = gaps.count - others.length - (longest === null ? 0 : 1)
  const [whole = '', ...missing] = sayTaken(report, days)
  const more: readonly string[] = [
    whole,
    told.fresh(report.newDays, report.newHalfHours, report.replacedHalfHours),
    ...(report.replacedHalfHours > 0 ? [told.replaced(report.replacedHalfHours)] : []),
    ...missing,
    ...(report.ahead > 0 ? [told.ahead(report.ahead)] : []),
    ...(report.tooOldHalfHours > 0 ? [told.tooOld(report.tooOldHalfHours)] : []),
    ...(understood.notMeasured > 0 ? [told.notMeasured(understood.notMeasured)] : []),
  ]
  return (
    <section aria-labelledby="told">
      <h2 id="told">{told.heading}</h2>
      {more.map((each) => (
        <p>{each}</p>
      ))}
      {gaps.count === 0 ? null : (
        <ul>
          {longest === null ? null : (
            <li>{told.longestGap(when(longest.start), when(longest.end))}</li>
          )}
          {others.map(({ start, end }) => (
            <li>{told.gap(when(start), when(end))}</li>
          ))}
          {unsaid > 0 ? <li>{told.moreGaps(unsaid)}</li> : null}
        </ul>
      )}
      {skippedRows.count === 0 ? null : (
        <ul>
          {skippedRows.first.slice(0, MOST_SHOWN).map(({ line, text, reason }) => (
            <li>{told.row(line, text, told.reason[reason])}</li>
          ))}
        </ul>
      )}
      <dl class="understood">
        {rows.map(([name, value]) => (
          <>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </>
        ))}
      </dl>
      <p class="hint">{told.wrong}</p>
    </section>
  )
}
