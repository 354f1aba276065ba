// The ways to reach a household's people outside its page, as values. How each is spoken to is `delivery/`.

import type { Instant } from '../plan/index.ts'

/** Where a channel leads. Addresses were checked when they were given. */
export type ChannelTarget =
  /** A browser's subscription (RFC 8030): keys in base64url (RFC 8291 §2.1, §3.2). */
  | {
      readonly kind: 'push'
      readonly endpoint: string
      readonly p256dh: string
      readonly auth: string
    }
  /** A chat with the bot, of one person or of a group. */
  | { readonly kind: 'telegram'; readonly chatId: string; readonly group: boolean }
  | { readonly kind: 'mail'; readonly address: string }
  /** A topic on a server that takes messages by HTTP; `token` where the topic is not open to all. */
  | {
      readonly kind: 'publish'
      readonly server: string
      readonly topic: string
      readonly token: string | null
    }

export type ChannelKind = ChannelTarget['kind'] | 'webhook'

/** How the last attempt through a channel ended, as far as we know. */
export type ChannelResult = {
  readonly at: Instant
  readonly outcome: 'delivered' | 'unreachable' | 'gone'
  /** For a developer: `status 503`. */
  readonly note: string | null
}

/** One way to one person. Their order in the household is the order in which a person's are tried. */
export type HouseholdChannel = {
  readonly id: string
  /** Whose it is: a name among the people, or as typed. */
  readonly person: string
  /** To tell it from others: "phone", "family chat". */
  readonly label: string
  readonly target: ChannelTarget
  /** `waiting`: its owner has not confirmed it yet. `off`: it said that it is gone. */
  readonly state: 'waiting' | 'on' | 'off'
  readonly last: ChannelResult | null
}

/** What an answer "gone" is about: it says nothing of where the channel leads by then. */
export function addressOf(target: ChannelTarget): string {
  switch (target.kind) {
    case 'push':
      return target.endpoint
    case 'telegram':
      return target.chatId
    case 'mail':
      return target.address
    case 'publish':
      return `${target.server} ${target.topic}`
  }
}

/** What an attempt is noted with that found nobody. It may have arrived, since the runtime tells no more, but hardly did. */
export const NO_CONNECTION = 'no connection'
