// What the API needs of this worker: the time, the households behind their tokens, the guard of addresses.

import { checkAddress, newWebhookSecret } from '../delivery/index.ts'
import { clockOf } from '../clock.ts'
import { clockSettingIn } from '../env.ts'
import { VERSION } from '../version.ts'
import type { ApiTools } from './api/index.ts'
import type { Place } from './place.ts'

export function apiTools({ env, origin, households, allowLocal }: Place): ApiTools {
  const clock = clockOf(clockSettingIn(env))
  return {
    version: VERSION,
    now: clock.now,
    async createHousehold(settings) {
      const { id, token, feedToken } = await households.make(settings, origin)
      const secret = settings.webhook?.secret
      return {
        id,
        link: `${origin}/open#${token}`,
        token,
        calendar: `${origin}/calendar/${feedToken}.ics`,
        ...(secret === undefined ? {} : { webhookSecret: secret }),
      }
    },
    open: households.open,
    checkWebhook: (url) => checkAddress(url, { allowLocal, ownHost: new URL(origin).host }),
    newWebhookSecret: () => newWebhookSecret(crypto.getRandomValues(new Uint8Array(32))),
  }
}
