// `node scripts/keys.ts mailto:you@example.com`: new keys for the pushes of a deployed worker, as the commands that
// store them there. Nothing is kept here; a worker whose keys change loses its subscriptions.

import { newVapidKeys } from '../src/delivery/index.ts'

const [subject = ''] = process.argv.slice(2)
if (!/^(mailto:|https:)./.test(subject)) {
  console.error(
    'keys: say whom a push service can turn to: node scripts/keys.ts mailto:you@example.com',
  )
  process.exit(1)
}
const { publicKey, privateKey } = await newVapidKeys()
const quoted = (value: string) => `'${value.replaceAll("'", "'\\''")}'`
for (const [name, value] of [
  ['VAPID_PUBLIC_KEY', publicKey],
  ['VAPID_PRIVATE_KEY', privateKey],
  ['VAPID_SUBJECT', subject],
] as const)
  console.log(`printf %s ${quoted(value)} | npx wrangler secret put ${name}`)
