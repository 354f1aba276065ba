// What the API needs of this worker: the households behind their tokens, the guard of addresses.

import { checkAddress, newWebhookSecret } from '../delivery/index.ts'
import { VERSION } from '../version.ts'
import type { ApiTools } from './api/index.ts'
import type { Place } from './place.ts'

export function apiTools({ origin, households, allowLocal }: Place): ApiTools {
  return {
    version: VERSION,
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
