// The curve in figures: what goes on the fridge.

import type { Instant, Plan } from '../plan/index.ts'
import { asInstant } from '../plan/index.ts'
import type { Format } from '../words/index.ts'
import { chartWords, format } from '../words/index.ts'
import type { ChartProps } from './chart.tsx'
import { frame } from './frame.ts'
import { doneInOrder } from './input.ts'
import type { Done, MarkKind } from './marks.ts'
import { marks } from './marks.ts'
import { frameDays } from './say.ts'
import { ticks } from './ticks.ts'
import { levelAt } from './trajectory.ts'

export type Row = {
  readonly at: Instant
  /** What happens then; `null` for a full hour between. */
  readonly kind: MarkKind | 'topUpEnd' | null
  readonly atLeastPct: number
  readonly expectedPct: number
}

// Full hours as well as marks, but no more than fit on a door.
const MOST_HOURS = 9

/** One row for each mark and for the full hours between them, in time order. */
export function rows(
  plan: Plan,
  done: readonly (Done | undefined)[],
  now: Instant,
  timeZone: string,
): Row[] {
  const span = frame(plan)
  if (span === null) return []
  const noted = marks(plan, done, now, span).flatMap((mark): Pick<Row, 'at' | 'kind'>[] => [
    mark,
    ...(mark.kind === 'event' && mark.until <= span.end
      ? [{ at: mark.until, kind: 'eventEnd' as const }]
      : []),
    ...(mark.kind === 'topUp' ? [{ at: mark.until, kind: 'topUpEnd' as const }] : []),
  ])
  const hours = ticks(span, timeZone, MOST_HOURS)
    .map(({ at }) => ({ at: asInstant(at), kind: null }))
    .filter(({ at }) => !noted.some((each) => each.at === at))
  return [...noted, ...hours]
    .toSorted((a, b) => a.at - b.at)
    .flatMap(({ at, kind }) => {
      const level = levelAt(plan.trajectory, at)
      return level === null
        ? []
        : [{ at, kind, atLeastPct: level.reservePct, expectedPct: level.socPct }]
    })
}

export function PlanTable({ plan, events, now, timeZone, language }: ChartProps) {
  const f = format(language, timeZone)
  const span = frame(plan.plan)
  if (span === null) return null
  const list = rows(plan.plan, doneInOrder(plan, events), now, timeZone)
  return (
    <details class="figures" id="figures">
      <summary>{chartWords.asTable}</summary>
      <table>
        <caption>{chartWords.tableCaption(frameDays(span, f))}</caption>
        <thead>
          <tr>
            <th scope="col">{chartWords.column.time}</th>
            <th scope="col" class="figure">
              {chartWords.column.atLeast}
            </th>
            <th scope="col" class="figure">
              {chartWords.column.expected}
            </th>
          </tr>
        </thead>
        <tbody>
          {list.map((row) => (
            <tr class={row.kind === null ? '' : 'noted'}>
              <th scope="row">{rowName(row, f)}</th>
              {/* Both rounded up, so that "expected" is under "at least" only where it truly is. */}
              <td class="figure">{f.pctUp(row.atLeastPct)}</td>
              <td class="figure">{f.pctUp(row.expectedPct)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  )
}

const rowName = ({ at, kind }: Row, f: Format) => (
  <>
    {f.time(at)}
    {kind === null ? null : <span class="what"> {chartWords.row[kind]}</span>}
  </>
)
