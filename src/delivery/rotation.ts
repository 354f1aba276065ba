// A webhook's secret in two generations: for a day after it was changed both sign, so that a receiver misses
// nothing while its owner puts in the new one (Standard Webhooks 1.0, on rotation without downtime).

import { HOUR_MS, type Instant, asInstant } from '../plan/index.ts'

const BOTH_SIGN_MS = 24 * HOUR_MS

/** What signs: the secret, and the one before it until that instant. */
export type SigningSecrets = {
  readonly secret: string
  readonly oldSecret?: { readonly secret: string; readonly until: Instant }
}

/** The same webhook with its new secret. The one it had signs for a day more, an older one no longer. */
export const rotated = <Webhook extends SigningSecrets>(
  webhook: Webhook,
  newSecret: string,
  now: Instant,
): Webhook =>
  newSecret === webhook.secret
    ? webhook
    : {
        ...webhook,
        secret: newSecret,
        oldSecret: { secret: webhook.secret, until: asInstant(now + BOTH_SIGN_MS) },
      }

/** The secrets that sign at this instant, the newest first. */
export const secretsNow = (
  { secret, oldSecret }: SigningSecrets,
  now: Instant,
): readonly string[] =>
  oldSecret !== undefined && now < oldSecret.until ? [secret, oldSecret.secret] : [secret]
