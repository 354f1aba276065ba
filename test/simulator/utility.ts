// The utility announces events, and thinks better of them at an instant that hurts.

import { type Instant, MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import { type Reminder, isOpen, plannedEvent } from '../../src/reminder/index.ts'
import type { Doing } from './doing.ts'
import type { Mischief } from './season.ts'

export class Utility {
  readonly #doing: Doing
  /** Events by the number of their announcement. */
  readonly #eventIds = new Map<number, string>()
  readonly #mischiefs: { readonly it: Mischief; at: Instant | null; done: boolean }[]

  constructor(doing: Doing) {
    this.#doing = doing
    this.#mischiefs = doing.season.mischiefs.map((it) => ({ it, at: null, done: false }))
    doing.season.announcements.forEach(({ at, start, end }, i) => {
      const { trace, platform, shell } = doing
      const learn = () => {
        const made = shell.current.events.findLast((each) => each.start === start)
        if (made !== undefined) this.#eventIds.set(i, made.id)
      }
      const what = `the utility announces ${trace.clock(start)} to ${trace.clock(end)}`
      platform.queue.add(at, () =>
        doing.persist(what, () => ({ type: 'announce', start, end }), learn),
      )
    })
  }

  /** Looked up anew after each step, as plans move. */
  planMischief(): void {
    const { platform } = this.#doing
    for (const each of this.#mischiefs) {
      if (each.done) continue
      const at = this.#instantOf(each.it)
      if (at === each.at) continue
      each.at = at
      if (at === null || at < platform.now) continue
      platform.queue.add(at, () => {
        if (each.done || each.at !== at) return
        each.done = true
        this.#do(each.it)
      })
    }
  }

  #instantOf({ of, anchor, offsetMs }: Mischief): Instant | null {
    const { current } = this.#doing.shell
    const id = this.#eventIds.get(of)
    const event = current.events.find((each) => each.id === id)
    if (id === undefined || event === undefined || event.state === 'cancelled') return null
    const plan = plannedEvent(current, id)
    const dueOf = (kind: Reminder['kind']) =>
      current.reminders.findLast(
        (each) => each.kind === kind && each.eventId === id && isOpen(each),
      )?.dueAt ?? null
    const at = {
      'hold-due': dueOf('hold'),
      'hold-by': plan?.holdBy ?? null,
      'release-due': dueOf('release'),
      release: plan?.releaseAt ?? null,
      start: event.start,
      end: event.end,
      any: asInstant((event.changedAt + event.start) / 2),
    }[anchor]
    return at === null ? null : asInstant(Math.round(at + offsetMs))
  }

  #do({ of, what, byMs }: Mischief): void {
    const eventId = this.#eventIds.get(of) ?? ''
    const by = what === 'move' ? ` by ${byMs / MINUTE_MS} minutes` : ''
    this.#doing.persist(`the utility ${what}s ${eventId}${by}`, ({ events }) => {
      const event = events.find((each) => each.id === eventId)
      if (event === undefined) return null
      if (what === 'cancel') return { type: 'cancel', eventId }
      const [start, end] = [asInstant(event.start + byMs), asInstant(event.end + byMs)]
      return { type: 'move', eventId, start, end }
    })
  }
}
