// What the API is given from outside: the households, the guard of addresses.

import type { AddressRefusal } from '../../delivery/index.ts'
import type { Result } from '../../plan/index.ts'
import type { Settings } from '../../reminder/index.ts'
import type { HouseholdDoor } from './door.ts'

export type CreatedHousehold = {
  readonly id: string
  readonly link: string
  readonly token: string
  readonly calendar: string
  readonly webhookSecret?: string
}

export type ApiTools = {
  readonly version: string
  createHousehold(settings: Settings): Promise<CreatedHousehold>
  /** The household of a bearer token, `null` when it opens none. */
  open(token: string): Promise<HouseholdDoor | null>
  /** The address as it will be called, or why not. */
  checkWebhook(url: string): Result<string, AddressRefusal>
  /** `whsec_…`, fresh. */
  newWebhookSecret(): string
}
