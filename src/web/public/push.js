// "Who is told": subscribes this browser to pushes, and sends the form with what that gave. The form says in data-* what
// may stand in the way, and where pushes go already. Without this script the other ways still work.

const form = document.querySelector('#push-form')
const SENT = 'push'
const CAN = 'serviceWorker' in navigator && 'PushManager' in window && 'Notification' in window

const runs = (pattern) => pattern.test(navigator.userAgent)
// Such a tablet says that it is a computer.
const isPad = runs(/iPad/) || (runs(/Macintosh/) && navigator.maxTouchPoints > 1)

const firstOf = (pairs) => pairs.find(([yes]) => yes)?.[1]

const device = () =>
  firstOf([
    [isPad, 'iPad'],
    [runs(/iPhone/), 'iPhone'],
    [runs(/Android.*Mobile/), 'Android phone'],
    [runs(/Android/), 'Android tablet'],
    [runs(/CrOS/), 'Chromebook'],
    [true, `${browser()} on ${system()}`],
  ])

const browser = () =>
  firstOf([
    [runs(/Firefox/), 'Firefox'],
    [runs(/Chrome/), 'Chromium'],
    [runs(/Safari/), 'Safari'],
    [true, 'browser'],
  ])

const system = () =>
  firstOf([
    [runs(/Windows/), 'Windows'],
    [runs(/Macintosh/), 'Mac'],
    [runs(/Linux/), 'Linux'],
    [true, 'a computer'],
  ])

function say(sentence) {
  document.querySelector('#push-trouble')?.remove()
  const line = document.createElement('p')
  line.id = 'push-trouble'
  line.className = 'notice'
  line.role = 'alert'
  line.textContent = sentence
  form.append(line)
}

async function subscribed() {
  await navigator.serviceWorker.register('/sw.js')
  const { pushManager } = await navigator.serviceWorker.ready
  const how = { userVisibleOnly: true, applicationServerKey: form.dataset.key }
  try {
    return await pushManager.subscribe(how)
  } catch (error) {
    // Subscribed with a key that the server has no more.
    if (error.name !== 'InvalidStateError') throw error
    await (await pushManager.getSubscription())?.unsubscribe()
    return pushManager.subscribe(how)
  }
}

function fill(fields) {
  for (const [name, value] of Object.entries(fields))
    if (form.elements[name]) form.elements[name].value = value
}

function send(subscription) {
  const { endpoint, keys } = subscription.toJSON()
  fill({ endpoint, p256dh: keys.p256dh, auth: keys.auth })
  localStorage.setItem(SENT, endpoint)
  form.submit()
}

async function submitted() {
  const { ios, unsupported, denied, failed } = form.dataset
  if (!CAN) return say(isPad || runs(/iPhone/) ? ios : unsupported)
  if ((await Notification.requestPermission()) !== 'granted') return say(denied)
  try {
    send(await subscribed())
  } catch {
    say(failed)
  }
}

/** Subscriptions change in silence. What was sent and is still used is then sent again; what was removed is not. */
async function renewed() {
  const endpoint = localStorage.getItem(SENT)
  const used = form.dataset.endpoints.split(' ').includes(endpoint)
  if (!CAN || !used || Notification.permission !== 'granted') return
  const subscription = await subscribed()
  if (subscription.endpoint === endpoint) return
  fill({ replaces: endpoint })
  send(subscription)
}

if (form) {
  // A form that came back keeps what was typed.
  if (!form.closest('details')?.open) fill({ label: device() })
  form.addEventListener('submit', (event) => {
    event.preventDefault()
    submitted()
  })
  renewed().catch(() => {})
}
