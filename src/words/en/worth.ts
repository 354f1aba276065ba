// Whether a plan is worth it: one sentence, and both sides beside each other. Money comes as text, as money is printed.

/** What the plan costs more than none (what is left in the battery counted in), what it earns more, and what comes of both, all without a sign. */
type Sums = { readonly cost: string; readonly earns: string; readonly gain: string }

type Sign = -1 | 0 | 1

export const worthWords = {
  heading: 'Is it worth it?',
  caption: (event: string, from: string, until: string) =>
    `${event}; counted from ${from} to ${until}`,
  item: 'What',
  withPlan: 'With the plan',
  withoutPlan: 'Without',
  inEvent: 'From the grid in the event',
  inAll: 'From the grid in all',
  cost: 'Cost',
  left: 'Left in the battery',
  leftWorth: 'What that is worth',
  reward: 'Reward',
  unknown: 'not known',
  net: 'Cost, less reward and what is left',

  /** By which way cost and reward go, and which of them is more. */
  sentence: (cost: Sign, earns: Sign, gain: Sign, sums: Sums): string => {
    if (cost > 0 && earns > 0) return gain > 0 ? better(sums) : gain < 0 ? worse(sums) : even(sums)
    if (cost > 0 && earns === 0)
      return `Not worth it in money: over the day it costs ${sums.cost} more and earns nothing more.`
    if (cost > 0)
      return `Not worth it in money: over the day it costs ${sums.cost} more and earns ${sums.earns} less.`
    if (cost < 0 && earns > 0)
      return `Over the day it saves ${sums.cost} and earns ${sums.earns} more: ${sums.gain} better with the plan.`
    if (cost < 0 && earns === 0)
      return `Over the day it saves ${sums.cost}: that much better with the plan.`
    if (cost < 0)
      return gain > 0
        ? `Over the day it saves ${sums.cost} and earns ${sums.earns} less: ${sums.gain} better with the plan.`
        : `Not worth it in money: over the day it saves ${sums.cost} and earns ${sums.earns} less.`
    if (earns > 0)
      return `Over the day it costs the same and earns ${sums.earns} more: that much better with the plan.`
    if (earns < 0)
      return `Not worth it in money: over the day it costs the same and earns ${sums.earns} less.`
    return 'It comes to the same with the plan and without it.'
  },

  /** Where nobody said what the scheme pays. */
  withoutReward: (cost: Sign, { cost: money }: Sums): string =>
    cost > 0
      ? `Over the day it costs ${money} more, and it is not known what the scheme pays. Give that on the page /prices.`
      : cost < 0
        ? `Over the day it saves ${money}, whatever the scheme pays.`
        : 'It costs the same with the plan and without it, whatever the scheme pays.',

  /** Where what is paid comes from. */
  footnote: (usual: string) =>
    `The scheme’s own meter and rules decide what it pays. Here the house is taken to use ${usual} in the event usually: its evening load.`,
  leftNote: 'What is left in the battery counts as what it costs to put back, or what it can save.',

  cheaper:
    'On the page /prices you can choose to hold where it costs least, not as late as is safe: that may cost less.',

  // In the conversation
  noRates:
    'No prices are known. Give them on the page /prices, and I can say whether it is worth it.',
  noneLeft: (event: string) =>
    `There is nothing left to choose for the event ${event}: the battery runs, or is about to.`,
  of: (event: string) => `The event ${event}:`,
} as const

const better = ({ cost, earns, gain }: Sums) =>
  `Over the day it costs ${cost} more and earns ${earns} more: ${gain} better with the plan.`

const worse = ({ cost, earns, gain }: Sums) =>
  `Not worth it in money: over the day it costs ${cost} more and earns only ${earns} more, ${gain} worse with the plan.`

const even = ({ cost }: Sums) =>
  `It comes to the same: over the day it costs ${cost} more and earns as much more.`
