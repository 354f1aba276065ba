// Keeps the plan page up to date without a reload: asks for the revision, and when it differs takes over the new
// page's main part. Leaves everything as it is while somebody is filling something in. The page works without it.

const main = document.querySelector('main')
const status = document.querySelector('#status')
const pollMs = Number(document.body.dataset.pollMs)

// A field that somebody only went into, and left so, does not keep the page old for ever.
const PATIENCE_MS = 60_000
let wentInAt = -Infinity
document.addEventListener('focusin', (event) => (wentInAt = event.timeStamp))

const fillingIn = () =>
  [...main.querySelectorAll('input:not([type=hidden]), textarea')].some(
    (field) => field.value !== field.defaultValue,
  ) ||
  (['INPUT', 'TEXTAREA', 'SELECT'].includes(document.activeElement?.tagName) &&
    performance.now() - wentInAt < PATIENCE_MS)

const lastSaid = () => main.querySelector('.talk > li:last-child')

const takeOver = (page) => {
  const fresh = page.querySelector('main')
  if (!fresh) return
  const open = [...main.querySelectorAll('details[open][id]')].map((each) => each.id)
  const before = lastSaid()?.dataset.seq
  main.replaceChildren(...fresh.childNodes)
  main.dataset.revision = fresh.dataset.revision
  document.title = page.title
  for (const id of open) document.getElementById(id)?.setAttribute('open', '')
  const said = lastSaid()
  if (said && said.dataset.seq !== before) {
    said.classList.add('changed')
    status.textContent = said.querySelector('p').textContent
  }
}

const look = async () => {
  if (document.hidden || fillingIn()) return
  const answer = await fetch('/revision', { cache: 'no-store' })
  if (!answer.ok || (await answer.text()) === main.dataset.revision) return
  const page = await fetch(location.pathname, { cache: 'no-store' })
  const text = await page.text()
  // Asked again at the very last: what somebody typed meanwhile must not be swept away.
  if (page.ok && !page.redirected && !fillingIn())
    takeOver(new DOMParser().parseFromString(text, 'text/html'))
}

const rounds = async () => {
  try {
    await look()
  } catch {
    // Out of reach for now; the next round asks again.
  }
  setTimeout(rounds, pollMs)
}

if (pollMs > 0) setTimeout(rounds, pollMs)
