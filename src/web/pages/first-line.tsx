// The answer in words: the first line, what it is for, and the doubts about it.

import type { Instant } from '../../plan/index.ts'
import { HOUR_MS } from '../../plan/index.ts'
import { type Household, advice, lastTold, pctAfter } from '../../reminder/index.ts'
import type { Format } from '../../words/index.ts'
import { pageWords } from '../../words/index.ts'
import type { Answer } from './answer.ts'
import { Rich } from './rich.tsx'

type Props = {
  readonly answer: Answer
  readonly household: Household
  readonly now: Instant
  readonly f: Format
  /** The battery is to be let run before anything else. */
  readonly restore?: boolean
}

/** A time of day, with its day in front when that is not today. */
export const timeSeen = (at: Instant, now: Instant, f: Format): string =>
  f.isoDay(at) === f.isoDay(now) ? f.time(at) : pageWords.dayTime(f.shortDay(at), f.time(at))

export const FirstLine = (props: Props) => {
  const { answer, household, restore = false } = props
  const doubts = doubtLines(props)
  const [what, ...rest] = aboutLines(props)
  // While something else comes first, the next event's answer follows its name.
  const next =
    restore && 'event' in answer && answer.kind !== 'over'
      ? [answerLine({ ...props, restore: false })]
      : []
  const about = what === undefined ? [] : [what, ...next, ...rest]
  return (
    <>
      <h1 class="answer">
        <Rich text={answerLine(props)} />
      </h1>
      {restore ? <p>{pageWords.about.restore}</p> : null}
      {about.map((line) => (
        <p>
          <Rich text={line} />
        </p>
      ))}
      {doubts.map((line) => (
        <p class="notice">{line}</p>
      ))}
      {household.settings.medical ? <p class="notice">{pageWords.medical.lasting}</p> : null}
    </>
  )
}

/** The answer as one sentence of the catalogue. */
export function answerLine({ answer, household, now, f, restore = false }: Props): string {
  const words = pageWords.answer
  if (restore) return words.releaseNow()
  const seen = (at: Instant) => timeSeen(at, now, f)
  switch (answer.kind) {
    case 'noEvent':
    case 'over':
    case 'onTheDay':
    case 'noReading':
    case 'noPlan':
      return words[answer.kind]
    case 'hold':
      return words.hold(
        seen(answer.plan.holdBy ?? answer.plan.releaseAt),
        f.pct(answer.plan.holdAtPct),
      )
    case 'holdNow':
    case 'holdLate':
      return words.holdNow()
    case 'noHold':
      return words.noHold()
    case 'short': {
      const until = seen(answer.plan.short?.coveredUntil ?? answer.plan.end)
      const { holdBy } = answer.plan
      return holdBy === null || holdBy <= now
        ? words.shortNow(until)
        : words.short(seen(holdBy), until)
    }
    case 'empty':
      return words.empty
    case 'charge': {
      const { topUp, end } = answer.plan
      const until = topUp?.until ?? end
      const pct = topUp === null ? 100 : pctAfter(household, topUp)
      return words.charge(f.pctUp(pct), seen(until))
    }
    case 'held':
      return words.held(seen(answer.plan.releaseAt))
    case 'releaseNow':
      return words.releaseNow()
    case 'runNow':
      return words.runNow(seen(answer.event.start))
    case 'running':
      return words.running(seen(answer.event.start))
    case 'serving':
      return words.serving(f.time(answer.event.end))
  }
}

function aboutLines({ answer, now, f, restore = false }: Props): string[] {
  const words = pageWords.about
  if (answer.kind === 'noEvent') return restore ? [] : [words.noEvent]
  const day = f.day(answer.event.start)
  const range = f.range(answer.event.start, answer.event.end)
  if (answer.kind === 'over') {
    const { outcomePct } = answer.event
    return [
      outcomePct === null ? words.over(day, range) : words.overAt(day, range, f.pct(outcomePct)),
    ]
  }
  if (answer.kind === 'onTheDay')
    return [
      words.event(day, range),
      words.onTheDay(f.pct(answer.pct), timeSeen(answer.askAt, now, f)),
      words.whenItCharges,
    ]
  if (answer.kind === 'noReading' || answer.kind === 'noPlan')
    return [words[answer.kind](day, range)]
  const { plan } = answer
  const release = timeSeen(plan.releaseAt, now, f)
  const by = plan.holdBy === null ? null : timeSeen(plan.holdBy, now, f)
  const pct = f.pct(plan.holdAtPct)
  const left = f.kwh(plan.marginLeftKwh)
  const short =
    plan.short === null ? [] : [words.short(f.kwh(plan.short.kwh), f.kw(plan.short.loadKw))]
  const topUp =
    plan.topUp === null || plan.topUp.until <= now
      ? []
      : [
          words.topUp(
            timeSeen(plan.topUp.from, now, f),
            timeSeen(plan.topUp.until, now, f),
            f.kwh(plan.topUp.kwh),
          ),
        ]
  const act = (): string[] => {
    switch (answer.kind) {
      case 'charge':
        return [words.thenPaused(release), ...short]
      case 'hold':
        return [words.hold(release)]
      case 'holdNow':
        return [words.holdNow(pct, release)]
      case 'holdLate':
        return [words.holdLate(by ?? release, release)]
      case 'noHold':
        return [words.noHold(pct)]
      case 'short':
        return [words.holdShort(release), ...short]
      case 'empty':
        return [words.empty(pct)]
      case 'held':
        return plan.short === null ? [words.held(release, left, f.time(plan.end))] : short
      case 'releaseNow':
      case 'runNow':
      case 'running':
      case 'serving':
        return plan.short === null ? [words.leftOver(left, f.time(plan.end))] : short
    }
  }
  return [words.event(day, range), ...act(), ...topUp]
}

// Older than this, a reading is worth repeating whatever the planner says about it.
const STALE_HOURS = 12

function doubtLines({ answer, household, now, f }: Props): string[] {
  const known =
    'event' in answer && answer.kind !== 'over' ? advice(household, answer.event, now) : []
  if (household.plan === null || !('plan' in answer)) return [...known]
  const words = pageWords.caution
  const reading = lastTold(household)
  const age = reading === undefined ? 0 : (now - reading.at) / HOUR_MS
  const { plan } = household.plan
  return [
    ...known,
    ...plan.cautions.flatMap((caution): string[] => {
      switch (caution.kind) {
        case 'load-over-limit':
          return [words.loadOverLimit(f.kw(caution.loadKw), f.kw(caution.limitKw))]
        case 'old-reading':
          return age >= STALE_HOURS ? [] : [words.oldReading(f.duration(caution.hours))]
        // Said with what would help, below.
        case 'nobody-in-reach':
          return []
      }
    }),
    ...(age >= STALE_HOURS ? [words.oldReading(f.duration(age))] : []),
  ]
}
