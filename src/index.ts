// The worker: requests to the web app, mails to the households that they answer, households to their objects.

import type { Env } from './env.ts'
import { receiveMail, webApp } from './web/index.ts'

export { AddressObject, HouseholdObject } from './household/index.ts'

export default {
  fetch: (request, env, context) => webApp(env, new URL(request.url)).fetch(request, env, context),
  email: receiveMail,
} satisfies ExportedHandler<Env>
