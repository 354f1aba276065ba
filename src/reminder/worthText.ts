// What an event is worth, in one sentence. Its figures are rounded as they are printed before they are taken from each
// other, so that the sentence can be checked in the head.

import type { Format } from '../words/index.ts'
import { worthWords as say } from '../words/index.ts'
import type { EventWorth } from './worth.ts'

type Sign = Parameters<typeof say.sentence>[0]

/** `Over the day it costs CA$0.12 more and earns CA$1.60 more: CA$1.48 better with the plan.` */
export function worthText({ difference, currency, baselineKwh }: EventWorth, f: Format): string {
  const cost = f.rounded(difference.cost - difference.leftWorth, currency)
  const earns = f.rounded(difference.reward, currency)
  const gain = f.rounded(earns - cost, currency)
  const money = (value: number) => f.money(Math.abs(value), currency)
  const sums = { cost: money(cost), earns: money(earns), gain: money(gain) }
  return baselineKwh === null
    ? say.withoutReward(sign(cost), sums)
    : say.sentence(sign(cost), sign(earns), sign(gain), sums)
}

const sign = (value: number): Sign => (value > 0 ? 1 : value < 0 ? -1 : 0)
