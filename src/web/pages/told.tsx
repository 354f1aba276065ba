// Whether somebody would be told, and who was: the note on the plan's page, and the lines under a reminder.

import type { Instant } from '../../plan/index.ts'
import { type Household, type Reminder, WEBHOOK } from '../../reminder/index.ts'
import { type Format, channelsPageWords, pageWords } from '../../words/index.ts'
import { canTakeBack } from './answerPage.tsx'
import { timeSeen } from './first-line.tsx'
import { Post } from './form.tsx'

/** What is missing to tell somebody, with the way to it. Nothing where everybody can be told. */
export const WhoIsNotTold = ({
  household,
  f,
}: {
  readonly household: Household
  readonly f: Format
}) => {
  const words = channelsPageWords.note
  const { settings } = household
  // Nobody waits for the reminders of a house that is invented.
  if (settings.demo) return null
  const unreached = unreachedPeople(household)
  if (settings.webhook === null && !household.channels.some(works))
    return (
      <p class="when" role="note">
        {words.nobody} <a href="/channels">{words.setUp}</a>
      </p>
    )
  if (unreached.length === 0) return null
  return (
    <p class="when" role="note">
      {words.unreached(f.list(unreached), unreached.length)} <a href="/channels">{words.look}</a>
    </p>
  )
}

/** One that is on, and did not fail the last time. */
const works = ({ state, last }: Household['channels'][number]): boolean =>
  state === 'on' && last?.outcome !== 'unreachable'

/** Whoever has no way that works: the people of the household, where any of them has a way of their own; and who had one. */
function unreachedPeople({ settings, channels }: Household): readonly string[] {
  const listed = channels.length === 0 ? [] : settings.people.map(({ name }) => name)
  const names = [...new Set([...listed, ...channels.map(({ person }) => person)])]
  return names.filter((name) => !channels.some((each) => each.person === name && works(each)))
}

/** Who was told by which way, the last time by each; `null` where the page alone showed it. */
export function toldLine(
  { channels, deliveries }: Household,
  { key }: Reminder,
  now: Instant,
  f: Format,
): string | null {
  const words = pageWords.told
  const accepted = deliveries.filter(
    ({ reminderKey, purpose, acceptedAt }) =>
      reminderKey === key && purpose === 'ask' && acceptedAt !== null,
  )
  const last = [...new Map(accepted.map((each) => [each.channel, each])).values()]
  const ways = last.map(({ channel, acceptedAt }) => {
    const at = timeSeen(acceptedAt ?? now, now, f)
    const way = channels.find(({ id }) => id === channel)
    if (channel === WEBHOOK) return words.webhook(at)
    return way === undefined ? words.removed(at) : words.way(way.person, way.label, at)
  })
  return ways.length === 0 ? null : words.line(f.list(ways))
}

/** Who answered: a person by name, else where it was said. */
export function answeredBy({ acknowledgedBy: by }: Reminder): string | null {
  return by === null ? null : (placeSaid(by) ?? pageWords.told.by(by))
}

/** Where it was said, where nobody gave a name; `null` for a name. */
function placeSaid(by: string): string | null {
  const places: Readonly<Record<string, string>> = pageWords.told.answered
  return Object.hasOwn(places, by) ? (places[by] ?? null) : null
}

/** The last answer of hands, who gave it, and the way to take it back while that still helps. */
export const LastAnswer = (props: {
  readonly household: Household
  readonly now: Instant
  readonly f: Format
  readonly csrf: string
}) => {
  const { household, now, f, csrf } = props
  const last = household.reminders
    .flatMap((each) => (canTakeBack(each, now) ? [each] : []))
    .toSorted((a, b) => (b.acknowledgedAt ?? 0) - (a.acknowledgedAt ?? 0))[0]
  if (last === undefined || last.acknowledgedAt === null) return null
  const at = timeSeen(last.acknowledgedAt, now, f)
  const by = last.acknowledgedBy
  const named = by !== null && placeSaid(by) === null
  return (
    <div class="due-now">
      <p class="when">{pageWords.told.last[last.kind](named ? by : null, at)}</p>
      <Post action={`/reminders/${encodeURIComponent(last.key)}/reopen`} csrf={csrf}>
        <button type="submit">{pageWords.told.notYet}</button>
      </Post>
    </div>
  )
}
