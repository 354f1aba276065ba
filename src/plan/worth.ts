// Was it worth it (model §7): what the house imports and pays with the plan and without it, over the same load. Both sides
// always, also where the answer is no. The baseline is given; how a scheme works it out is not known here.

import { checkInput } from './check.ts'
import { flowThrough } from './flow.ts'
import { kwhNow } from './hold.ts'
import { horizonEnd, worthPerKwh } from './horizon.ts'
import { HOUR_MS, type Instant, type Span, asInstant } from './instant.ts'
import { netLoad, piecesBetween } from './net.ts'
import { type Result, ok } from './result.ts'
import { priceAt } from './spend.ts'
import type {
  Bill,
  EventPlan,
  Mode,
  PlanInput,
  PlanRefusal,
  Reward,
  Step,
  UnitRate,
  Worth,
} from './types.ts'

const HALF_HOUR_MS = HOUR_MS / 2

/** What a plan makes of the battery; `holds` are the first event's where the cheapest were looked for. */
type Acted = { readonly events: readonly EventPlan[]; readonly holds?: readonly Span[] }

const NOTHING: Acted = { events: [] }

export type WorthQuestion = {
  readonly input: PlanInput
  /** The plan of this input. */
  readonly plan: Acted
  /** What it is compared with; the battery left running where it is left out. */
  readonly instead?: Acted
  readonly rates: readonly UnitRate[]
  readonly reward: Reward | null
}

/**
 * Both bills from now to the horizon of the cheapest hold, after the last event. Without the plan the battery runs all
 * the time, or does what is named instead; energy left is worth what the cheapest hold takes it for. Source: the model, §7.
 */
export function worthOf(question: WorthQuestion): Result<Worth, PlanRefusal> {
  const { input, plan, instead = NOTHING, reward } = question
  const checked = checkInput(input)
  if (!checked.ok) return checked
  const rates = question.rates.toSorted((a, b) => a.start - b.start)
  const net = netLoad(input.load, input.solar)
  const events = input.events.toSorted((a, b) => a.start - b.start)
  const last = events.at(-1) ?? { start: input.now, end: input.now }
  const horizon = { start: input.now, end: horizonEnd(input, net, last) }
  const perKwh = worthPerKwh(input, rates, last, horizon.end)
  const bill = (acts: readonly Act[]) =>
    billOf({ input, net, rates, events, horizon, acts, reward, perKwh })
  const [withPlan, withoutPlan] = [bill(actsOf(plan)), bill(actsOf(instead))]
  const more = (part: 'importKwh' | 'cost' | 'leftKwh' | 'leftWorth' | 'reward') =>
    withPlan[part] - withoutPlan[part]
  return ok({
    horizon,
    withPlan,
    withoutPlan,
    difference: {
      importKwh: more('importKwh'),
      cost: more('cost'),
      leftKwh: more('leftKwh'),
      leftWorth: more('leftWorth'),
      reward: more('reward'),
    },
    gain: withoutPlan.net - withPlan.net,
  })
}

/** What a person does to a battery that otherwise runs. */
type Act = Span & { readonly mode: Mode }

/** The acts of a plan; where two are on at once, the earlier in the list counts. */
const actsOf = ({ events, holds }: Acted): readonly Act[] =>
  events.flatMap(({ holdBy, releaseAt, topUp }, i) => {
    const latest = holdBy === null ? [] : [{ start: holdBy, end: releaseAt }]
    const held = i === 0 && holds !== undefined ? holds : latest
    return [
      ...(topUp === null ? [] : [{ start: topUp.from, end: topUp.until, mode: 'fill' as const }]),
      ...held.map((hold) => ({ ...hold, mode: 'hold' as const })),
    ]
  })

type Walk = {
  readonly input: PlanInput
  readonly net: readonly Step[]
  readonly rates: readonly UnitRate[]
  /** In time order. */
  readonly events: readonly Span[]
  readonly horizon: Span
  readonly acts: readonly Act[]
  readonly reward: Reward | null
  /** The worth of what is left. */
  readonly perKwh: number
}

function billOf({ input, net, rates, events, horizon, acts, reward, perKwh }: Walk): Bill {
  const importByHalfHour: { start: Instant; kwh: number }[] = []
  const inEvent = events.map(() => 0)
  let [importKwh, deliveredKwh, cost, kwh] = [0, 0, 0, kwhNow(input, net)]
  const edges = edgesOf(horizon, [
    ...rates.map(({ start }) => start),
    ...endsOf(events),
    ...endsOf(acts),
  ])
  for (const [i, start] of edges.slice(0, -1).entries()) {
    const end = edges[i + 1] ?? start
    const mode = acts.find((act) => within(act, start))?.mode ?? 'run'
    let imported = 0
    for (const piece of piecesBetween(net, start, end)) {
      const flow = flowThrough(input.battery, mode, piece, kwh)
      imported += flow.importKwh
      deliveredKwh += flow.deliveredKwh
      kwh = flow.kwh
    }
    importKwh += imported
    cost += imported * priceAt(rates, start)
    const event = events.findIndex((each) => within(each, start))
    if (event >= 0) inEvent[event] = (inEvent[event] ?? 0) + imported
    const half = importByHalfHour.at(-1)
    if (half !== undefined && start % HALF_HOUR_MS !== 0) half.kwh += imported
    else importByHalfHour.push({ start, kwh: imported })
  }
  const billed = events.map(({ start, end }, i) => {
    const spared = Math.max(0, (reward?.baselineKwh[i] ?? 0) - (inEvent[i] ?? 0))
    return { start, end, importKwh: inEvent[i] ?? 0, reward: (reward?.perKwh ?? 0) * spared }
  })
  const rewards = billed.reduce((sum, event) => sum + event.reward, 0)
  const leftWorth = perKwh * kwh
  return {
    importKwh,
    deliveredKwh,
    importByHalfHour,
    cost,
    leftKwh: kwh,
    leftWorth,
    events: billed,
    reward: rewards,
    net: cost - rewards - leftWorth,
  }
}

const within = ({ start, end }: Span, at: Instant): boolean => start <= at && at < end

const endsOf = (spans: readonly Span[]): readonly Instant[] =>
  spans.flatMap(({ start, end }) => [start, end])

/** The instants between which nothing but the load changes: those given and every half-hour, from end to end. */
function edgesOf({ start, end }: Span, given: readonly Instant[]): readonly Instant[] {
  const edges = new Set([...given, start, end].filter((at) => at >= start && at <= end))
  const first = Math.ceil(start / HALF_HOUR_MS) * HALF_HOUR_MS
  for (let at = first; at < end; at += HALF_HOUR_MS) edges.add(asInstant(at))
  return [...edges].toSorted((a, b) => a - b)
}
