// The service worker: shows a push (src/delivery/pushBody.ts) and posts what is tapped on it. Keeps nothing, serves nothing.

// No page is near to bring the words.
const WORDS = {
  name: 'Holdbell',
  unreadable: 'Open Holdbell to see what is due.',
  over: (text) => `Too late by now: ${text}`,
  notNoted: 'Your answer did not get through. Tap to answer on the page.',
}
const ICON = '/icon-192.png'
const ANSWERS = ['done', 'later']
const PATIENCE_MS = 4000
const BRIEF_MS = 4000

self.addEventListener('install', () => self.skipWaiting())
self.addEventListener('push', (event) => event.waitUntil(shown(event.data)))
self.addEventListener('notificationclick', (event) => event.waitUntil(tapped(event)))

const show = ({ title, ...options }) =>
  self.registration.showNotification(title, { icon: ICON, ...options })

// Whatever came, something is shown: browsers take the permission away from who shows nothing.
async function shown(said) {
  try {
    await show(asked(said.json().notification))
  } catch {
    await show({ title: WORDS.name, body: WORDS.unreadable, tag: 'unreadable' })
  }
}

function asked(options) {
  const { title, body, data } = options
  if (typeof title !== 'string' || typeof body !== 'string') throw new TypeError('Not a message')
  // oxlint-disable-next-line no-restricted-properties -- a device has no other clock
  const late = Date.now() > (data?.uselessAfter ?? Infinity)
  return late && !data.settled
    ? quiet({ ...options, body: WORDS.over(body), actions: [] })
    : options
}

const quiet = (options) => ({
  ...options,
  silent: true,
  renotify: false,
  requireInteraction: false,
})

const ours = (address) =>
  URL.canParse(address) && new URL(address).origin === self.location.origin ? address : null

async function tapped({ notification, action }) {
  const page = ours(notification.data?.answerUrl)
  if (page !== null && ANSWERS.includes(action)) return answer(notification, action, page)
  notification.close()
  const windows = await self.clients.matchAll({ type: 'window', includeUncontrolled: true })
  const plan = windows.find(({ url }) => new URL(url).pathname === '/plan')
  return plan === undefined ? self.clients.openWindow(page ?? '/plan') : plan.focus()
}

async function answer(notification, does, page) {
  const { title, tag, lang, actions, data } = notification
  const { ok, text } = await posted(page, does)
  if (!ok) {
    await show(quiet({ title, body: text, tag, lang, actions, data }))
    // A browser may refuse by now; the notification is still there.
    return self.clients.openWindow(page).catch(() => null)
  }
  notification.close()
  await show(quiet({ title, body: text, tag, lang, data: { ...data, brief: true } }))
  await new Promise((passed) => setTimeout(passed, BRIEF_MS))
  for (const each of await self.registration.getNotifications({ tag }))
    if (each.data?.brief) each.close()
}

async function posted(page, does) {
  try {
    const reply = await fetch(page, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ do: does }),
      redirect: 'error',
      signal: AbortSignal.timeout(PATIENCE_MS),
    })
    const { text } = await reply.json()
    return { ok: reply.ok, text }
  } catch {
    return { ok: false, text: WORDS.notNoted }
  }
}
