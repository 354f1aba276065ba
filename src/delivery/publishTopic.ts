// Where messages are published: a topic's name, and the token of a topic that is not open to all. Who knows the
// name of an open topic can read it and write to it, so the name is the secret.

import { type Result, ok, refuse } from '../plan/index.ts'

export type TopicRefusal =
  | { readonly reason: 'length'; readonly length: number; readonly longest: number }
  | { readonly reason: 'character'; readonly character: string }

export type TokenRefusal =
  | { readonly reason: 'length'; readonly length: number; readonly longest: number }
  | { readonly reason: 'character' }

const LONGEST_TOPIC = 64
const LONGEST_TOKEN = 512

// 32 letters and digits that nobody takes for one another, to be typed into a phone: 5 bits each.
const LETTERS = 'abcdefghijkmnpqrstuvwxyz23456789'
const BITS_PER_LETTER = 5
const SECRET_OCTETS = 16

/** The topic as it is, or why it can be none: 1 to 64 of `-_A-Za-z0-9` (the protocol's documentation). */
export function checkTopic(topic: string): Result<string, TopicRefusal> {
  const wrong = /[^-_A-Za-z0-9]/u.exec(topic)
  if (wrong !== null) return refuse({ reason: 'character', character: wrong[0] })
  if (topic.length < 1 || topic.length > LONGEST_TOPIC)
    return refuse({ reason: 'length', length: topic.length, longest: LONGEST_TOPIC })
  return ok(topic)
}

/** The token as it is, or why it can be none; the refusal does not tell it. RFC 6750 §2.1 says what it is made of. */
export function checkToken(token: string): Result<string, TokenRefusal> {
  if (token.length < 1 || token.length > LONGEST_TOKEN)
    return refuse({ reason: 'length', length: token.length, longest: LONGEST_TOKEN })
  return /^[-\w.~+/]+=*$/.test(token) ? ok(token) : refuse({ reason: 'character' })
}

/** A topic that nobody guesses: 26 letters and digits of 16 random octets. */
export function newTopic(randomOctets: Uint8Array): string {
  if (randomOctets.length !== SECRET_OCTETS)
    throw new RangeError(
      `Cannot make a topic as it must have ${SECRET_OCTETS} random octets: current value has ${randomOctets.length}`,
    )
  const bits = Array.from(randomOctets, (octet) => octet.toString(2).padStart(8, '0')).join('')
  return bits.replace(/.{1,5}/g, (five) =>
    LETTERS.charAt(parseInt(five.padEnd(BITS_PER_LETTER, '0'), 2)),
  )
}
