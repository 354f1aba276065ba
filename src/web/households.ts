// The way from a token to a household's object, and the making of one. Each call takes a new stub: one that
// met a reset stays broken.

import type { ClockSetting } from '../clock.ts'
import type { Env } from '../env.ts'
import {
  type Asked,
  type Feed,
  type Heard,
  type HouseholdObject,
  type MeterOutcome,
  type MeterSeen,
  type Performed,
  type Seen,
  type Tested,
  addressName,
  isId,
  newId,
  newKey,
  parseToken,
  tokenText,
} from '../household/index.ts'
import type { Settings } from '../reminder/index.ts'
import type { HouseholdDoor } from './api/index.ts'

export type Made = { readonly id: string; readonly token: string; readonly feedToken: string }

export type Households = {
  make(settings: Settings, origin: string, clock?: ClockSetting | null): Promise<Made>
  open(token: string): Promise<HouseholdDoor | null>
  feed(token: string): Promise<Feed | null>
  /** A household by its id alone, for what brings a proof of its own; `null` for what cannot be an id. */
  outside(id: string): OutsideDoor | null
  /** The id of the household that a chat or a mail address belongs to. */
  ledFrom(kind: 'telegram' | 'mail', address: string): Promise<string | null>
}

/** What may be asked of a household without its key. */
export type OutsideDoor = Pick<
  HouseholdObject,
  | 'answer'
  | 'asked'
  | 'chatLeft'
  | 'chatMoved'
  | 'confirmChannel'
  | 'hear'
  | 'linkChat'
  | 'stopChannel'
>

export function householdsIn(env: Env): Households {
  const object = (id: string) => env.HOUSEHOLD.getByName(id)
  return {
    async make(settings, origin, clock = null) {
      const id = newId()
      const keys = { page: newKey(), feed: newKey() }
      await object(id).create({ id, settings, origin, keys, clock })
      return {
        id,
        token: tokenText({ id, key: keys.page }),
        feedToken: tokenText({ id, key: keys.feed }),
      }
    },
    async open(text) {
      const token = parseToken(text)
      if (token === null) return null
      const { id, key } = token
      return (await object(id).admits(key)) ? doorOf(env, id, key) : null
    },
    async feed(text) {
      const token = parseToken(text)
      return token === null ? null : object(token.id).feed(token.key)
    },
    outside: (id) => (isId(id) ? outsideDoorOf(env, id) : null),
    ledFrom: async (kind, address) => env.ADDRESS.getByName(addressName(kind, address)).leadsTo(),
  }
}

// The key fitted a moment ago; if it does not now, the household was deleted in between.
function there<Value>(value: Value | null): Value {
  if (value === null) throw new HouseholdGone()
  return value
}

function doorOf(env: Env, id: string, key: string): HouseholdDoor {
  const object = () => env.HOUSEHOLD.getByName(id)
  return {
    read: async () => there((await object().read(key)) as Seen | null),
    perform: async (command) => there((await object().perform(key, command)) as Performed | null),
    say: async (text) => there((await object().say(key, text)) as Performed | null),
    meter: async () => there((await object().meter(key)) as MeterSeen | null),
    meterFile: async () => there(await object().meterFile(key)),
    takeMeter: async (file, how) =>
      there((await object().takeMeter(key, file, how)) as MeterOutcome | null),
    answerMeter: async (about, choice) =>
      there((await object().answerMeter(key, about, choice)) as MeterOutcome | null),
    dropMeterFile: async () => {
      await object().dropMeterFile(key)
    },
    forgetMeter: async () => there((await object().forgetMeter(key)) as Performed | null),
    testChannel: async (channelId) =>
      there((await object().testChannel(key, channelId)) as Tested | null),
    askMailOwner: async (channelId) =>
      there((await object().askMailOwner(key, channelId)) as Tested | null),
    inviteChat: async (person) => there(await object().inviteChat(key, person)),
    removeChannel: async (channelId) =>
      there((await object().removeChannel(key, channelId)) as Performed | null),
    erase: async () => {
      await object().erase(key)
    },
  }
}

function outsideDoorOf(env: Env, id: string): OutsideDoor {
  const object = () => env.HOUSEHOLD.getByName(id)
  return {
    answer: async (link, act) => (await object().answer(link, act)) as Performed | null,
    asked: async (link) => (await object().asked(link)) as Asked | null,
    chatLeft: async (chatId) => object().chatLeft(chatId),
    chatMoved: async (chatId, to) => object().chatMoved(chatId, to),
    confirmChannel: async (channelId, code) => object().confirmChannel(channelId, code),
    hear: async (said) => (await object().hear(said)) as Heard,
    linkChat: async (secret, chat, by) => object().linkChat(secret, chat, by),
    stopChannel: async (channelId, code) => object().stopChannel(channelId, code),
  }
}

export class HouseholdGone extends Error {}
