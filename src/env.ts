// What the platform binds to the worker, and what only a local run sets.

import { type Clock, type ClockSetting, clockOf } from './clock.ts'
import type { HouseholdObject } from './household/index.ts'

export type Env = {
  readonly HOUSEHOLD: DurableObjectNamespace<HouseholdObject>
  /** Local runs only; a deployed worker has none of these. */
  readonly LOCAL_CLOCK?: string
  readonly ALLOW_LOCAL?: string
  readonly REHEARSAL?: string
}

export const clockIn = (env: Env): Clock =>
  clockOf(env.LOCAL_CLOCK === undefined ? null : (JSON.parse(env.LOCAL_CLOCK) as ClockSetting))
