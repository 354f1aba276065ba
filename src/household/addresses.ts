// An address that writes to us, a chat or a mail address, and the household that it belongs to: a tiny object named by the
// address, so that there is no central table. `telegram:-100123`, `mail:ada@example.org`.

import { DurableObject } from 'cloudflare:workers'
import type { Env } from '../env.ts'

const ASKED_AT_MOST = 3
const ASKED_WITHIN_MS = 24 * 3600_000

export class AddressObject extends DurableObject<Env> {
  /** The id of its household; `null` where nobody linked it. */
  leadsTo(): string | null {
    return this.ctx.storage.kv.get<string>('household') ?? null
  }

  /** Whether its owner may be asked once more whether it is theirs: a few times a day, whoever wants it (OWASP ASVS 5.0, 2.4.1). */
  mayBeAsked(now: number): boolean {
    const asked = (this.ctx.storage.kv.get<number[]>('asked') ?? []).filter(
      (at) => at > now - ASKED_WITHIN_MS && at <= now,
    )
    if (asked.length >= ASKED_AT_MOST) return false
    this.ctx.storage.kv.put('asked', [...asked, now])
    return true
  }

  /** Leads there from now on; a mailbox whose owner confirmed it. */
  lead(householdId: string): void {
    this.ctx.storage.kv.put('household', householdId)
  }

  /** Whether it leads there now: a chat that is another household's stays that, or what is tapped in it would go astray. */
  claim(householdId: string): boolean {
    const kept = this.leadsTo()
    if (kept !== null && kept !== householdId) return false
    if (kept === null) this.ctx.storage.kv.put('household', householdId)
    return true
  }

  /** Forgets it, unless it belongs to another one by now. */
  forget(householdId: string): void {
    if (this.leadsTo() === householdId) this.ctx.storage.kv.delete('household')
  }
}

export const addressName = (kind: 'telegram' | 'mail', address: string): string =>
  `${kind}:${address.toLowerCase()}`
