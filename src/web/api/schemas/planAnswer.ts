// A plan as it is answered, for the description and for the tests that hold every answer to it.

import * as z from 'zod'
import { at, number } from './answerFields.ts'
import { WorthAnswer } from './worthAnswer.ts'

const TopUpAnswer = z
  .strictObject({
    from: at('Start to charge.'),
    until: at('Stop.'),
    kwh: number('Stored by it, kWh.'),
  })
  .meta({ id: 'TopUp', description: 'One interval of charging from the grid.' })

const ShortAnswer = z
  .strictObject({
    kwh: number('Stored energy that is missing, kWh.'),
    coveredUntil: at('Until when the charge lasts.'),
    loadKw: number('The mean load at which it would last to the end, kW.'),
  })
  .meta({ id: 'Short', description: 'By how much the charge falls short.' })

const ConfidenceAnswer = z
  .strictObject({
    days: z.int().meta({ description: 'Comparable days that were played.' }),
    coveredOn: z.int().meta({ description: 'On how many of them the event was covered.' }),
    stage: number('The confidence that each look is computed with.'),
  })
  .meta({ id: 'Confidence', description: 'On how many past days this would have worked.' })

const ExplanationRow = z
  .strictObject({
    what: z.string().meta({ description: 'What it is, in words.' }),
    sum: z.string().meta({
      description: 'The arithmetic as it is keyed into a calculator; empty for what is given.',
    }),
    value: z.string().meta({
      description: 'What it makes, as printed; a time on the clock of timeZone, or of UTC.',
    }),
    unit: z.enum(['kWh', 'kW', '%', '']).meta({ description: 'Empty for times and counts.' }),
  })
  .meta({ id: 'ExplanationRow', description: 'How one figure of the plan comes about.' })

const eventPlan = {
  start: at('As asked.'),
  end: at('As asked.'),
  verdict: z.enum(['no-hold', 'hold', 'hold-now', 'short']).meta({ description: 'What to do.' }),
  needKwh: number('Stored energy that the event takes, kWh.'),
  reserveKwh: number('To have at the release, kWh.'),
  reservePct: number('The same, % of capacity, not rounded.'),
  holdBy: at('The latest safe instant to pause the discharge; null with no-hold.').nullable(),
  holdAtPct: z.int().meta({ description: 'Hold when the display shows this, %, rounded up.' }),
  releaseAt: at('When to let it run again.'),
  nextReadingAt: at('When to look; null without load.days.').nullable(),
  marginLeftKwh: number('Expected above the floor at the end of the event, kWh.'),
  topUp: TopUpAnswer.nullable(),
  short: ShortAnswer.nullable(),
  confidence: ConfidenceAnswer.nullable(),
  explanation: z
    .array(ExplanationRow)
    .meta({ description: 'Each figure, in the order in which one comes of the other.' }),
}

const SpanAnswer = z.strictObject({ start: at('Begins.'), end: at('Ends.') })

const PlannedEvent = z
  .strictObject({
    ...eventPlan,
    holds: z.array(SpanAnswer).optional().meta({
      description: 'With cheapest: all holds of the first event, in time order; empty for others.',
    }),
  })
  .meta({ id: 'PlannedEvent', description: 'What to do for one event.' })

const TrajectoryAnswer = z
  .strictObject({
    at: at('A breakpoint.'),
    socPct: number('Expected charge under the plan, %.'),
    reservePct: number('The reserve line, %.'),
    mode: z.enum(['run', 'hold', 'fill']).meta({ description: 'From here on.' }),
  })
  .meta({ id: 'TrajectoryPoint', description: 'The forecast under the plan, at a breakpoint.' })

const plan = {
  trajectory: z.array(TrajectoryAnswer),
  cautions: z.array(z.string()).meta({ description: 'What to know besides, in words.' }),
}

export const PlanAnswer = z
  .strictObject({
    events: z.array(PlannedEvent),
    ...plan,
    worth: WorthAnswer.nullable().meta({ description: 'Null without unitRates.' }),
  })
  .meta({ id: 'Plan', description: 'When to hold and when to release, for each event.' })

export type PlanAnswer = z.infer<typeof PlanAnswer>

const HouseholdPlannedEvent = z
  .strictObject({
    id: z.string().meta({ description: 'The id of the event.' }),
    ...eventPlan,
    worth: WorthAnswer.nullable().meta({
      description:
        'What holding for this event adds to the events before it; null without unitRates.',
    }),
  })
  .meta({
    id: 'HouseholdPlannedEvent',
    description: "What to do for one of the household's events.",
  })

export const HouseholdPlanAnswer = z
  .strictObject({ events: z.array(HouseholdPlannedEvent), ...plan })
  .meta({
    id: 'HouseholdPlan',
    description: 'The plan as last computed; empty lists while there is none.',
  })

export type HouseholdPlanAnswer = z.infer<typeof HouseholdPlanAnswer>
