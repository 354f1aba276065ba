// The hold as a linear programme for a general solver: how much of the stored energy a household may use
// before its events. Written from sections 1 and 2 of the model, without a reserve line: the margin is
// kept by a second battery that starts without it at each release and must still serve what comes.

import type { Battery, Instant, PlanInput, Step } from '../../src/plan/index.ts'
import { HOUR, floorKwh } from './given.ts'

/** An event's cover and the margin to have over it at its start. */
export type Cover = { readonly from: Instant; readonly until: Instant; readonly marginKwh: number }

type Piece = { readonly hours: number; readonly netKw: number; readonly cover: number }

const kwAt = (steps: readonly Step[], at: number) =>
  (steps.findLast(({ start }) => start <= at) ?? steps[0])?.kw ?? 0

/** Stretches of constant net load from now to the end of the last cover; `cover` is its index or -1. */
const piecesOf = ({ now, load, solar }: PlanInput, covers: readonly Cover[]): Piece[] => {
  const until = covers.at(-1)?.until ?? now
  const edges = [...load, ...solar]
    .map(({ start }) => start as number)
    .concat(now, until, ...covers.flatMap((cover) => [cover.from, cover.until]))
    .filter((at) => at >= now && at <= until)
  const sorted = [...new Set(edges)].sort((a, b) => a - b)
  return sorted.slice(1).map((end, i) => {
    const start = sorted[i] ?? end
    return {
      hours: (end - start) / HOUR,
      netKw: kwAt(load, start) - kwAt(solar, start),
      cover: covers.findIndex((cover) => start >= cover.from && start < cover.until),
    }
  })
}

/** The rows of one battery from a piece on: `name` keeps its variables apart from the other batteries'. */
const rowsOf = (name: string, battery: Battery, pieces: readonly Piece[], first: number) => {
  const rows: string[] = []
  const bounds: string[] = []
  const used: string[] = []
  pieces.slice(first).forEach(({ hours, netKw, cover }, offset) => {
    const i = first + offset
    const [energy, next] = [`E${name}_${i}`, `E${name}_${i + 1}`]
    const [out, in_] = [`d${name}_${i}`, `c${name}_${i}`]
    const mostOut = Math.min(Math.max(netKw, 0), battery.maxDischargeKw) * hours
    const mostIn = Math.min(Math.max(-netKw, 0), battery.maxChargeKw) * hours
    const lossKwh = battery.standbyKw * hours
    rows.push(
      `${next} - ${energy} + ${1 / battery.dischargeEfficiency} ${out} - ${battery.chargeEfficiency} ${in_} = ${-lossKwh}`,
    )
    bounds.push(`${floorKwh(battery)} <= ${next} <= ${battery.capacityKwh}`)
    bounds.push(cover < 0 ? `0 <= ${out} <= ${mostOut}` : `${mostOut} <= ${out} <= ${mostOut}`)
    bounds.push(`0 <= ${in_} <= ${mostIn}`)
    if (cover < 0 && mostOut > 0) used.push(out)
  })
  return { rows, bounds, used }
}

/** The programme in CPLEX LP text; its optimum is the energy used outside the covers, kWh on the AC side. */
export const programmeOf = (input: PlanInput, covers: readonly Cover[]): string => {
  const { battery, reading } = input
  const pieces = piecesOf(input, covers)
  const startKwh = (reading.socPct / 100) * battery.capacityKwh
  const real = rowsOf('', battery, pieces, 0)
  const spare = covers.map((cover, i) => {
    const first = pieces.findIndex((piece) => piece.cover === i)
    return { ...rowsOf(`m${i}`, battery, pieces, first), first, marginKwh: cover.marginKwh }
  })
  // A battery without the margin of cover i, split off whichever battery reaches that cover.
  const splits = spare.flatMap(({ first, marginKwh }, i) =>
    ['', ...spare.slice(0, i).map((_, j) => `m${j}`)].map(
      (parent) => `Em${i}_${first} - E${parent}_${first} <= ${-marginKwh}`,
    ),
  )
  const floor = floorKwh(battery)
  return [
    'Maximize',
    ` used: ${real.used.join(' + ') || '0 E_0'}`,
    'Subject To',
    ...[...real.rows, ...spare.flatMap(({ rows }) => rows), ...splits].map(
      (row, i) => ` r${i}: ${row}`,
    ),
    'Bounds',
    ` ${startKwh} <= E_0 <= ${startKwh}`,
    ...spare.map(({ first }, i) => ` ${floor} <= Em${i}_${first} <= ${battery.capacityKwh}`),
    ...[...real.bounds, ...spare.flatMap(({ bounds }) => bounds)].map((bound) => ` ${bound}`),
    'End',
  ].join('\n')
}
