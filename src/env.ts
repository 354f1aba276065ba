// What the platform binds to the worker, and what only a local run sets.

import type { ClockSetting } from './clock.ts'
import type { HouseholdObject } from './household/index.ts'

export type Env = {
  readonly HOUSEHOLD: DurableObjectNamespace<HouseholdObject>
  /** Local runs only; a deployed worker has none of these. The first is a clock setting in JSON. */
  readonly LOCAL_CLOCK?: string
  readonly ALLOW_LOCAL?: string
  readonly REHEARSE?: string
}

export const clockSettingIn = (env: Env): ClockSetting | null =>
  env.LOCAL_CLOCK === undefined ? null : (JSON.parse(env.LOCAL_CLOCK) as ClockSetting)
