// What there is to note on the curve: now, and each event's hold, release, start and trouble. Values only.

import type { EventPlan, Instant, Plan, Span } from '../plan/index.ts'
import { MINUTE_MS } from '../plan/index.ts'

export type MarkKind =
  | 'now'
  | 'hold'
  | 'holdNow'
  | 'held'
  | 'release'
  | 'released'
  | 'event'
  | 'eventEnd'
  | 'topUp'
  | 'short'

export type Mark = {
  readonly kind: MarkKind
  readonly at: Instant
  /** The end of an event or a top-up; otherwise the same as `at`. */
  readonly until: Instant
  /** What the display shows when it is time to hold. */
  readonly holdAtPct: number
  /** It is about the next event, so the others give way to it. */
  readonly first: boolean
}

/** What people have said they did for an event of the plan. */
export type Done = {
  readonly id: string
  readonly heldAt: Instant | null
  readonly releasedAt: Instant | null
}

/** The marks inside the frame, in time order. */
export function marks(
  plan: Plan,
  done: readonly (Done | undefined)[],
  now: Instant,
  frame: Span,
): Mark[] {
  const all = plan.events.flatMap((event, index) =>
    eventMarks(event, done[index], index === 0, now, frame),
  )
  const nowIsMarked = all.some((mark) => mark.kind === 'holdNow')
  const here: Mark = { kind: 'now', at: now, until: now, holdAtPct: 0, first: true }
  return [...(nowIsMarked ? [] : [here]), ...all]
    .filter((mark) => mark.at >= frame.start && mark.at <= frame.end)
    .toSorted((a, b) => a.at - b.at)
}

function eventMarks(
  event: EventPlan,
  done: Done | undefined,
  first: boolean,
  now: Instant,
  frame: Span,
): Mark[] {
  const mark = (kind: MarkKind, at: Instant | null | undefined, until = at): Mark[] =>
    at === null || at === undefined || until === null || until === undefined
      ? []
      : [{ kind, at, until, holdAtPct: event.holdAtPct, first }]
  const released = done?.releasedAt ?? null
  const held = done?.heldAt ?? null
  const holdIsNow = event.holdBy !== null && event.holdBy - now < MINUTE_MS
  const hold =
    held !== null
      ? mark('held', held)
      : event.holdBy === null || now >= event.releaseAt
        ? []
        : holdIsNow
          ? mark('holdNow', now)
          : mark('hold', event.holdBy)
  const release =
    released !== null
      ? mark('released', released)
      : held !== null || event.holdBy !== null
        ? mark('release', event.releaseAt)
        : []
  return [
    ...mark('topUp', event.topUp?.from, event.topUp?.until),
    ...hold,
    ...release,
    ...(event.start < frame.start
      ? mark('eventEnd', event.end)
      : mark('event', event.start, event.end)),
    ...mark('short', event.short?.coveredUntil),
  ]
}
