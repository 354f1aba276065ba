// Of many days' latest safe holds, the one to go by at a risk. The share of days that may be late is known
// only as coarsely as there are days, so the days around the k-th are weighed: that halves the chance in it.

/** The share of the risk that a look is planned at: looking early costs a glance, holding early costs charge kept idle. */
export const LOOK_SHARE = 0.5

/** The rank that a risk stands for among so many, not rounded. */
export const rankAt = (days: number, risk: number): number => risk * (days + 1)

/**
 * When to hold at a risk, from the ascending latest safe holds of past days: their mean, weighed i^(r-1) e^-i by rank i
 * with r the risk's own (a gamma kernel; common practice for quantiles of few values, no source). Under the first rank
 * the earliest; `now` where the k-th itself is not later.
 */
export function holdAtRisk(ascending: Float64Array, risk: number, now: number): number {
  const days = ascending.length
  const rank = rankAt(days, risk)
  const kth = ascending[Math.max(1, Math.floor(rank + 1e-9)) - 1] ?? now
  if (kth <= now) return now
  if (rank < 1) return ascending[0] ?? now
  const weights = weightsOf(days, rank)
  let sum = 0
  for (let i = 0; i < weights.length; i++)
    sum += (weights[i] ?? 0) * Math.max(now, ascending[i] ?? 0)
  return sum
}

/** When to look: at a share of the risk; where that is now, when it would be held. */
export function lookAtRisk(ascending: Float64Array, risk: number, now: number): number {
  const look = holdAtRisk(ascending, LOOK_SHARE * risk, now)
  return look > now ? look : holdAtRisk(ascending, risk, now)
}

let kept: { days: number; rank: number; weights: Float64Array }[] = []

/** The weights of the first ranks, summing to 1. The last few are kept: a replay asks for the same ones thousands of times. */
function weightsOf(days: number, rank: number): Float64Array {
  const found = kept.find((each) => each.days === days && each.rank === rank)
  if (found !== undefined) return found.weights
  const count = Math.min(days, Math.ceil(rank + 6 * Math.sqrt(rank) + 6))
  const weights = new Float64Array(count)
  let sum = 0
  for (let i = 0; i < count; i++) {
    weights[i] = Math.exp((rank - 1) * Math.log((i + 1) / rank) - (i + 1 - rank))
    sum += weights[i] ?? 0
  }
  for (let i = 0; i < count; i++) weights[i] = (weights[i] ?? 0) / sum
  kept = [{ days, rank, weights }, ...kept.slice(0, 3)]
  return weights
}

/** The energy to see at most for a hold at a risk, from ascending reserves: the k-th largest, the largest under the first rank. */
export function reserveAtRisk(ascending: Float64Array, risk: number): number {
  const k = Math.max(1, Math.floor(rankAt(ascending.length, risk) + 1e-9))
  return ascending[ascending.length - k] ?? 0
}
