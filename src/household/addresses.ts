// An address that writes to us, a chat or a mail address, and the household that it belongs to: a tiny object named by the
// address, so that there is no central table. `telegram:-100123`, `mail:ada@example.org`.

import { DurableObject } from 'cloudflare:workers'
import type { Env } from '../env.ts'

export class AddressObject extends DurableObject<Env> {
  /** The id of its household; `null` where nobody linked it. */
  leadsTo(): string | null {
    return this.ctx.storage.kv.get<string>('household') ?? null
  }

  lead(householdId: string): void {
    this.ctx.storage.kv.put('household', householdId)
  }

  /** Forgets it, unless it belongs to another one by now. */
  async forget(householdId: string): Promise<void> {
    if (this.leadsTo() === householdId) await this.ctx.storage.deleteAll()
  }
}

export const addressName = (kind: 'telegram' | 'mail', address: string): string =>
  `${kind}:${address.toLowerCase()}`
