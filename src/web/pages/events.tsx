// Events and readings by plain forms, for those who would rather not write a sentence.

import type { Instant } from '../../plan/index.ts'
import type { Household, HouseholdEvent } from '../../reminder/index.ts'
import type { Format } from '../../words/index.ts'
import { pageWords } from '../../words/index.ts'
import type { Answer } from './answer.ts'
import { Field, Post } from './form.tsx'

/** A form that came back: one of its fields, and what was typed into it. */
export type Refused = {
  readonly field: string
  readonly typed: Readonly<Record<string, string>>
} | null

type Props = {
  readonly household: Household
  readonly now: Instant
  readonly f: Format
  readonly csrf: string
  readonly refused: Refused
}

/** What was typed into the event form of this id; `null` when it is not the one that came back. */
const typedInto = (id: string, refused: Refused) =>
  refused?.field === `${id}-date` ? refused.typed : null

/** `due` when nothing can be planned without it. */
export const ReadingForm = (props: {
  readonly csrf: string
  readonly due: boolean
  readonly refused: Refused
}) => {
  const { csrf, due, refused } = props
  const words = pageWords.forms
  return (
    <Post action="/readings" csrf={csrf} class="say">
      <Field
        name="socPct"
        label={words.reading}
        inputmode="decimal"
        value={refused?.field === 'socPct' ? refused.typed['socPct'] : undefined}
        required
      />
      <button type="submit" class={due ? 'due' : undefined}>
        {words.readingSend}
      </button>
    </Post>
  )
}

export const FillIn = (
  props: Omit<Props, 'household'> & { readonly answer: Answer; readonly asked: boolean },
) => {
  const { now, f, csrf, answer, asked, refused } = props
  const words = pageWords.forms
  const typed = typedInto('new', refused)
  return (
    <section class="no-print" aria-labelledby="fill-in">
      <h2 id="fill-in">{words.heading}</h2>
      {asked ? null : <ReadingForm csrf={csrf} due={false} refused={refused} />}
      <details id="new-event" open={answer.kind === 'noEvent' || typed !== null}>
        <summary>{words.newEvent}</summary>
        <Post action="/events" csrf={csrf}>
          <EventFields
            id="new"
            date={typed?.['date'] ?? f.isoDay(now)}
            from={typed?.['from'] ?? ''}
            until={typed?.['until'] ?? ''}
          />
          <button type="submit">{words.announce}</button>
        </Post>
      </details>
    </section>
  )
}

const EventFields = (props: {
  readonly id: string
  readonly date: string
  readonly from: string
  readonly until: string
}) => {
  const words = pageWords.forms
  const { id, date, from, until } = props
  return (
    <div class="pair">
      <div class="whole">
        <Field id={`${id}-date`} name="date" label={words.date} type="date" value={date} required />
      </div>
      <Field id={`${id}-from`} name="from" label={words.from} type="time" value={from} required />
      <Field
        id={`${id}-until`}
        name="until"
        label={words.until}
        type="time"
        value={until}
        required
      />
    </div>
  )
}

const SHOWN = 8

export const Events = ({ household, now, f, csrf, refused }: Props) => {
  const words = pageWords.events
  const shown = household.events.toSorted((a, b) => a.start - b.start).slice(-SHOWN)
  return (
    <section aria-labelledby="events">
      <h2 id="events">{words.heading}</h2>
      {shown.length === 0 ? <p>{words.empty}</p> : null}
      <ul class="plain">
        {shown.map((event) => (
          <li>
            {words.line(f.day(event.start), f.range(event.start, event.end))}
            {event.state === 'announced' && event.end > now ? (
              <OpenEvent
                event={event}
                planned={isPlanned(household, event)}
                typed={typedInto(event.id, refused)}
                f={f}
                csrf={csrf}
              />
            ) : (
              <span class="when">
                {' '}
                · {event.state === 'cancelled' ? words.cancelled : words.over}
              </span>
            )}
            {event.outcomePct === null ? null : (
              <span class="when"> · {words.outcome(f.pct(event.outcomePct))}</span>
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}

const isPlanned = (household: Household, event: HouseholdEvent): boolean =>
  household.plan?.eventIds.includes(event.id) ?? false

const OpenEvent = (props: {
  readonly event: HouseholdEvent
  readonly planned: boolean
  readonly typed: Readonly<Record<string, string>> | null
  readonly f: Format
  readonly csrf: string
}) => {
  const { event, planned, typed, f, csrf } = props
  const words = pageWords.events
  const path = `/events/${encodeURIComponent(event.id)}`
  // Which one, for who hears the page and not sees it.
  const name = words.line(f.day(event.start), f.range(event.start, event.end))
  return (
    <>
      <details id={`change-${event.id}`} open={typed !== null}>
        <summary>
          {words.change} <span class="unseen">{name}</span>
        </summary>
        <Post action={`${path}/move`} csrf={csrf}>
          <EventFields
            id={event.id}
            date={typed?.['date'] ?? f.isoDay(event.start)}
            from={typed?.['from'] ?? f.time(event.start)}
            until={typed?.['until'] ?? f.time(event.end)}
          />
          <button type="submit">{words.move}</button>
        </Post>
        <Post action={`${path}/cancel`} csrf={csrf} class="apart">
          <button type="submit">{words.cancel}</button>
        </Post>
      </details>
      {planned ? (
        <a class="no-print" href={`${path}/plan.ics`}>
          {words.file} <span class="unseen">{name}</span>
        </a>
      ) : null}
    </>
  )
}
