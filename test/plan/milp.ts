// One hold as a mixed-integer programme for a general solver: in each stretch of constant load and rate a share is
// held; the held shares join into one hold that ends by the release; a running battery gives what the house draws
// until it is at its floor, and no less. Written from sections 1 and 6 of the model, without standing loss or sun.

import type { PlanInput, Step, UnitRate } from '../../src/plan/index.ts'
import { HOUR, floorKwh } from './given.ts'

export type Question = {
  readonly input: PlanInput
  readonly rates: readonly UnitRate[]
  readonly releaseAt: number
  readonly until: number
  /** To have at the release, kWh. */
  readonly reserveKwh: number
  /** What a stored kWh is worth at the end. */
  readonly worth: number
}

type Piece = {
  readonly hours: number
  readonly kw: number
  readonly rate: number
  readonly before: boolean
}

const stepAt = <Item extends { readonly start: number }>(steps: readonly Item[], at: number) =>
  steps.findLast(({ start }) => start <= at) ?? steps[0]

export const loadAt = (steps: readonly Step[], at: number) => stepAt(steps, at)?.kw ?? 0
export const rateAt = (rates: readonly UnitRate[], at: number) => stepAt(rates, at)?.perKwh ?? 0

/** The instants between which load and rate are constant. */
export const edgesOf = ({ input, rates, releaseAt, until }: Question): number[] =>
  [...new Set([...input.load, ...rates].map(({ start }) => start as number))]
    .concat(input.now, releaseAt, until)
    .filter((at, i, all) => at >= input.now && at <= until && all.indexOf(at) === i)
    .sort((a, b) => a - b)

const piecesOf = (question: Question): Piece[] => {
  const edges = edgesOf(question)
  return edges.slice(1).map((end, i) => {
    const start = edges[i] ?? end
    return {
      hours: (end - start) / HOUR,
      kw: loadAt(question.input.load, start),
      rate: rateAt(question.rates, start),
      before: end <= question.releaseAt,
    }
  })
}

/** What the import would cost without a battery. */
export const withoutBattery = (question: Question): number =>
  piecesOf(question).reduce((sum, { hours, kw, rate }) => sum + hours * kw * rate, 0)

const term = (factor: number, name: string) =>
  `${factor < 0 ? '-' : '+'} ${Math.abs(factor)} ${name}`

/** The programme in CPLEX LP text; its optimum is what the battery saves, with the worth of what is left. */
export const programmeOf = (question: Question): string => {
  const { input, reserveKwh, worth } = question
  const { battery, reading } = input
  const pieces = piecesOf(question)
  const floor = floorKwh(battery)
  const startKwh = (reading.socPct / 100) * battery.capacityKwh
  const many = pieces.map((_, i) => i)
  const sum = (name: string, to: number) => many.slice(0, Math.max(0, to)).map((i) => `${name}${i}`)
  const plus = (names: readonly string[]) => names.map((name) => ` + ${name}`).join('')
  const minus = (names: readonly string[]) => names.map((name) => ` - ${name}`).join('')
  const rows: string[] = []
  const bounds: string[] = []
  let release = pieces.length
  pieces.forEach(({ hours, kw, before }, i) => {
    if (!before) release = Math.min(release, i)
    const most = Math.min(kw, battery.maxDischargeKw) * hours
    // Held from the piece in which it begins to the one in which it ends, wholly in between.
    rows.push(`h${i}${minus(sum('b', i + 1))}${plus(sum('e', i))} <= 0`)
    rows.push(`h${i}${minus(sum('b', i))}${plus(sum('e', i + 1))} >= 0`)
    // Gives what is drawn, or less where it comes to the floor.
    rows.push(`d${i} + s${i} ${term(most, `h${i}`)} = ${most}`)
    rows.push(`s${i} ${term(-most, `u${i}`)} <= 0`)
    rows.push(`E${i + 1} ${term(battery.capacityKwh, `u${i}`)} <= ${floor + battery.capacityKwh}`)
    rows.push(`E${i + 1} - E${i} ${term(1 / battery.dischargeEfficiency, `d${i}`)} = 0`)
    bounds.push(`${floor} <= E${i + 1} <= ${battery.capacityKwh}`)
    bounds.push(`0 <= h${i} <= ${before ? 1 : 0}`)
  })
  rows.push(`${plus(sum('b', pieces.length))} = 1`, `${plus(sum('e', pieces.length))} = 1`)
  rows.push(`E${release} >= ${reserveKwh}`)
  return [
    'Maximize',
    ` saved: ${pieces.map(({ rate }, i) => term(rate, `d${i}`)).join(' ')} ${term(worth, `E${pieces.length}`)}`,
    'Subject To',
    ...rows.map((row, i) => ` r${i}: ${row}`),
    'Bounds',
    ` ${startKwh} <= E0 <= ${startKwh}`,
    ...bounds.map((bound) => ` ${bound}`),
    'Binary',
    ` ${many.flatMap((i) => [`b${i}`, `e${i}`, `u${i}`]).join(' ')}`,
    'End',
  ].join('\n')
}
