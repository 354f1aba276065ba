// A household as it is set up from outside: by the API, by the forms of the page "Who is told", and by a chat that follows
// the link it was given.

import { type Caller, JSON_TYPE, type Reply } from './caller.ts'
import { bring, written } from './chat.ts'
import type { Known } from './facts.ts'
import { House, type Ways } from './house.ts'
import type { StandIns } from './standIns.ts'
import type { Left } from './storage.ts'

export type World = {
  readonly caller: Caller
  readonly known: Known
  readonly standIns: StandIns
}

/** A household with all its channels; throws when something of it is not taken. */
export async function moveIn(name: string, ways: Ways, world: World): Promise<House> {
  const { caller, known, standIns } = world
  const url = `${standIns.origin}/hook/${name}`
  const body = JSON.stringify({
    name,
    timeZone: 'America/Halifax',
    battery: { capacityKwh: 9.6, maxDischargeKw: 3.6 },
    load: { kw: 0.8 },
    ...(ways.webhook ? { webhook: { url } } : {}),
  })
  const asked = { method: 'POST', path: '/api/households', headers: JSON_TYPE, body } as const
  const made = must(await caller.call(asked), 201)
  const { id, token } = JSON.parse(made.text) as { id: string; token: string }

  const fact = (what: string, isThere: (left: Left) => boolean) =>
    known.facts.push({ household: id, what, at: Date.now(), isThere })
  const form = (path: string, fields: Record<string, string>) =>
    caller.call({
      method: 'POST',
      path,
      headers: {
        'content-type': 'application/x-www-form-urlencoded',
        'sec-fetch-site': 'same-origin',
        cookie: `holdbell-key=${token}; holdbell-form=shown`,
      },
      body: new URLSearchParams({ person: '', ...fields, csrf: 'shown' }).toString(),
    })
  const add = async (kind: 'publish' | 'push', other: string, fields: Record<string, string>) => {
    const added = must(await form(`/channels/${kind}`, { other, label: kind, ...fields }), 303)
    const channel = /said=added&about=(c\d+)/.exec(added.location)?.[1]
    fact(`channel ${channel}`, ({ channels }) => channels.some((each) => each.id === channel))
  }
  const linkChat = async (chatId: number) => {
    const page = must(await form('/channels/telegram', { other: 'Ada' }), 200)
    const code = /\?start=([\w-]+)/.exec(page.text)?.[1]
    must(await bring(caller, standIns.bot.secret, written(chatId, `/start ${code}`)), 200)
    fact(`chat ${chatId}`, ({ channels }) =>
      channels.some(({ target }) => target.kind === 'telegram' && target.chatId === String(chatId)),
    )
  }

  const { topic, push, chatId } = ways
  if (topic !== null) await add('publish', 'Ada', { server: standIns.origin, topic, token: '' })
  for (const path of push) await add('push', 'Ben', standIns.subscribe(path))
  if (chatId !== null) await linkChat(chatId)
  return new House({ name, id, token, ways }, caller, known, standIns.bot.secret)
}

function must(reply: Reply | null, status: number): Reply {
  if (reply?.status !== status)
    throw new Error(
      `Cannot set up as the answer must be ${status}: current value is ${reply?.status} ${reply?.text}`,
    )
  return reply
}
