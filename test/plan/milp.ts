// Some holds as a mixed-integer programme for a general solver: in each stretch of constant load and rate a share is
// held; the held shares join into holds that end by the release; a running battery gives what the house draws until it is
// at its floor, and no less. Written from sections 1 and 6 of the model, without sun. With a standing loss the reserve must be
// over the floor, as that of an event always is.

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

const sum = (name: string, to: number) =>
  Array.from({ length: Math.max(0, to) }, (_, i) => ` + ${name}${i}`).join('')
const less = (text: string) => text.replaceAll('+', '-')

/** The programme in CPLEX LP text; its optimum is what the battery saves, with the worth of what is left. */
export const programmeOf = (question: Question, maxHolds = 1): string => {
  const { input, reserveKwh, worth } = question
  const { battery, reading } = input
  const { standbyKw, capacityKwh, dischargeEfficiency } = battery
  const pieces = piecesOf(question)
  const floor = floorKwh(battery)
  const startKwh = (reading.socPct / 100) * capacityKwh
  const last = pieces.length
  const lowest = Math.min(0, floor - 24 * standbyKw)
  const wide = 2 * capacityKwh - lowest
  const restsBefore = reserveKwh < floor + 1e-6
  const rows: string[] = []
  const bounds: string[] = []
  let release = last
  pieces.forEach(({ hours, kw, before }, i) => {
    if (!before) release = Math.min(release, i)
    const most = Math.min(kw, battery.maxDischargeKw) * hours
    // Held from the stretch in which a hold begins to the one in which it ends, wholly in between.
    rows.push(`h${i}${less(sum('b', i + 1))}${sum('e', i)} <= 0`)
    rows.push(`h${i}${less(sum('b', i))}${sum('e', i + 1)} >= 0`)
    rows.push(`${sum('b', i + 1)}${less(sum('e', i + 1))} >= 0`)
    rows.push(`${sum('b', i + 1)}${less(sum('e', i + 1))} <= 1`)
    // Gives what is drawn, or less where it comes to the floor.
    rows.push(`d${i} + s${i} ${term(most, `h${i}`)} = ${most}`)
    rows.push(`s${i} ${term(-most, `u${i}`)} <= 0`)
    rows.push(`E${i + 1} - E${i} ${term(1 / dischargeEfficiency, `d${i}`)} = ${-standbyKw * hours}`)
    // What is there once it stops giving: at the floor if it fell short, not under it if it gave anything.
    const given = term(
      -(1 / dischargeEfficiency + (most > 0 ? (standbyKw * hours) / most : 0)),
      `d${i}`,
    )
    rows.push(`E${i} ${given} ${term(wide, `u${i}`)} <= ${floor + wide}`)
    rows.push(`d${i} ${term(-most, `v${i}`)} <= 0`)
    rows.push(`E${i} ${given} ${term(-wide, `v${i}`)} >= ${floor - wide}`)
    const safe = before && !restsBefore
    bounds.push(`${safe ? 1 : 0} <= v${i} <= 1`, `0 <= u${i} <= ${safe ? 0 : 1}`)
    bounds.push(`${standbyKw > 0 ? lowest : floor} <= E${i + 1} <= ${capacityKwh}`)
    bounds.push(...['h', 'b', 'e'].map((name) => `0 <= ${name}${i} <= ${before ? 1 : 0}`))
  })
  rows.push(`${sum('b', last)} <= ${maxHolds}`, `${sum('b', last)}${less(sum('e', last))} = 0`)
  rows.push(`E${release} >= ${reserveKwh}`)
  // What is left: the energy, or nothing where the standing loss would have taken more than there was.
  rows.push(`left - E${last} >= 0`, `left - E${last} ${term(wide, 'y')} <= ${wide}`)
  rows.push(`left ${term(-wide, 'y')} <= 0`)
  const names = ['b', 'e', 'u', 'v'].flatMap((name) => pieces.map((_, i) => `${name}${i}`))
  return [
    'Maximize',
    ` saved: ${pieces.map(({ rate }, i) => term(rate, `d${i}`)).join(' ')} ${term(worth, 'left')}`,
    'Subject To',
    ...rows.map((row, i) => ` r${i}: ${row}`),
    'Bounds',
    ` ${startKwh} <= E0 <= ${startKwh}`,
    ` 0 <= left <= ${capacityKwh}`,
    ...bounds.map((bound) => ` ${bound}`),
    'Binary',
    ` ${names.join(' ')} y`,
    'End',
  ].join('\n')
}

/**
 * The same without a person: the battery gives as much as it likes in each stretch, as long as the reserve is there at
 * the release (the linear dispatch programme). No number of holds saves more. Without standing loss.
 */
export const dispatchOf = (question: Question): string => {
  const { input, reserveKwh, worth } = question
  const { battery, reading } = input
  const pieces = piecesOf(question)
  const startKwh = (reading.socPct / 100) * battery.capacityKwh
  const release = pieces.findIndex(({ before }) => !before)
  return [
    'Maximize',
    ` saved: ${pieces.map(({ rate }, i) => term(rate, `d${i}`)).join(' ')} ${term(worth, `E${pieces.length}`)}`,
    'Subject To',
    ...pieces.map(
      (_, i) => ` r${i}: E${i + 1} - E${i} ${term(1 / battery.dischargeEfficiency, `d${i}`)} = 0`,
    ),
    ` reserve: E${release < 0 ? pieces.length : release} >= ${reserveKwh}`,
    'Bounds',
    ` ${startKwh} <= E0 <= ${startKwh}`,
    ...pieces.flatMap(({ hours, kw }, i) => [
      ` ${floorKwh(battery)} <= E${i + 1} <= ${battery.capacityKwh}`,
      ` 0 <= d${i} <= ${Math.min(kw, battery.maxDischargeKw) * hours}`,
    ]),
    'End',
  ].join('\n')
}
