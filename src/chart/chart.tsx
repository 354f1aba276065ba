// The curve of the coming hours, drawn like a page of a tide table. Plain SVG with classes: the stylesheet
// colours it, so it prints and follows light and dark.

import { area, line } from 'd3-shape'
import { frame } from './frame.ts'
import type { HouseholdPlanLike } from './input.ts'
import { doneInOrder } from './input.ts'
import type { Done } from './marks.ts'
import type { Point } from './names.ts'
import { SMALL_SIZE } from './names.ts'
import type { Picture } from './picture.ts'
import { FLAG_SIZE, WIDTH, onRule, picture } from './picture.ts'
import { frameDays, markSentence } from './say.ts'
import type { Instant } from '../plan/index.ts'
import type { Format } from '../words/index.ts'
import { chartWords, format } from '../words/index.ts'
import { levelAt } from './trajectory.ts'

export type ChartProps = {
  readonly plan: HouseholdPlanLike
  readonly events: readonly Done[]
  readonly now: Instant
  readonly timeZone: string
  readonly language: string
  /** What a person must do now: its flag alone carries the accent. */
  readonly due?: 'hold' | 'release' | null
}

const path = line<Point>()
  .x((p) => p.x)
  .y((p) => p.y)
  .digits(1)

/** Nothing when there is no forecast to draw. */
export function Chart({ plan, events, now, timeZone, language, due = null }: ChartProps) {
  const f = format(language, timeZone)
  const done = doneInOrder(plan, events)
  const drawn = picture({ plan: plan.plan, done, now, timeZone, format: f })
  if (drawn === null) return null
  const { plot } = drawn
  const under = area<Point>()
    .x((p) => p.x)
    .y1((p) => p.y)
    .y0(plot.bottom)
    .digits(1)
  const days = frameDays(drawn.frame, f)
  return (
    <svg
      class="chart"
      viewBox={`0 0 ${WIDTH} ${drawn.height}`}
      role="img"
      aria-labelledby="chart-title chart-desc"
    >
      <title id="chart-title">{chartWords.title(days)}</title>
      <desc id="chart-desc">{describe(drawn, f)}</desc>
      <defs>
        <pattern id="chart-held" width="5" height="5" patternUnits="userSpaceOnUse">
          <path class="hatch" d="M-1,1 l2,-2 M0,5 l5,-5 M4,6 l2,-2" />
        </pattern>
        <pattern id="chart-event" width="4" height="4" patternUnits="userSpaceOnUse">
          <path class="ruling" d="M2,0 v4" />
        </pattern>
      </defs>
      {drawn.levels.map(({ y, text, firm }) => (
        <>
          <line
            class={firm ? 'axis' : 'level'}
            x1={plot.left}
            x2={plot.right}
            y1={at(y)}
            y2={at(y)}
          />
          <text
            class="tick"
            x={plot.left - 5}
            y={at(y + 4)}
            text-anchor="end"
            font-size={SMALL_SIZE}
          >
            {text}
          </text>
        </>
      ))}
      {drawn.events.map(({ from, to }) => (
        <>
          <rect
            x={at(from)}
            y={plot.top}
            width={at(to - from)}
            height={plot.bottom - plot.top}
            fill="url(#chart-event)"
          />
          <line class="rule" x1={at(to)} x2={at(to)} y1={plot.top} y2={plot.bottom} />
        </>
      ))}
      {drawn.held.map((points) => (
        <path d={under([...points]) ?? ''} fill="url(#chart-held)" />
      ))}
      {drawn.hours.map(({ x, text, midnight }) => (
        <>
          <line
            class={midnight ? 'midnight' : 'axis'}
            x1={at(x)}
            x2={at(x)}
            y1={midnight ? plot.top : plot.bottom}
            y2={plot.bottom + 4}
          />
          {text === null ? null : (
            <text
              class="tick"
              x={at(x)}
              y={plot.bottom + 17}
              text-anchor="middle"
              font-size={SMALL_SIZE}
            >
              {text}
            </text>
          )}
        </>
      ))}
      <path class="reserve" d={path([...drawn.reserve]) ?? ''} />
      <path class="curve" d={path([...drawn.curve]) ?? ''} />
      {drawn.texts.map(({ text, box }) => (
        <text class="name" x={at(box.left)} y={at(box.bottom - 4)} font-size={SMALL_SIZE}>
          {text}
        </text>
      ))}
      {drawn.flags.map(({ flag, side, left, right, baseline }) => (
        <g class={flagClass(flag.mark.kind, due)}>
          <line x1={at(flag.x)} x2={at(flag.x)} y1={at(baseline - 10)} y2={at(flag.foot)} />
          {onRule(flag.mark) ? null : <circle cx={at(flag.x)} cy={at(flag.foot)} r="3" />}
          <text
            x={at(side === 'left' ? right : left)}
            y={at(baseline)}
            text-anchor={side === 'left' ? 'end' : 'start'}
            font-size={FLAG_SIZE}
          >
            {flag.text}
          </text>
        </g>
      ))}
    </svg>
  )
}

/** The date above the curve. */
export function ChartDays({ plan, timeZone, language }: ChartProps) {
  const span = frame(plan.plan)
  return span === null ? null : (
    <figcaption class="day">{frameDays(span, format(language, timeZone))}</figcaption>
  )
}

const at = (value: number): number => Math.round(value * 10) / 10

const flagClass = (kind: string, due: 'hold' | 'release' | null): string =>
  (due === 'hold' && (kind === 'hold' || kind === 'holdNow')) ||
  (due === 'release' && kind === 'release')
    ? 'flag due'
    : `flag ${kind}`

function describe({ shown, marks }: Picture, f: Format): string {
  const first = shown[0]
  const last = shown.at(-1)
  return [
    ...(first ? [chartWords.startsAt(f.pct(first.socPct), f.time(first.at))] : []),
    ...marks.map((mark) => markSentence(mark, f)),
    ...(last
      ? [chartWords.endsAt(f.pct(levelAt(shown, last.at)?.socPct ?? 0), f.time(last.at))]
      : []),
  ].join(' ')
}
