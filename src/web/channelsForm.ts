// The forms of the page "Who is told", as the channels that they stand for, or what is wrong with them. Addresses are
// checked here, when they are given: whoever sends later calls them as they are.

import {
  checkAddress,
  checkSubscription,
  checkToken,
  checkTopic,
  plainAddress,
} from '../delivery/index.ts'
import { type Result, ok, refuse } from '../plan/index.ts'
import type { ChannelTarget, Command } from '../reminder/index.ts'
import { channelsPageWords } from '../words/index.ts'
import type { FieldError } from './pages/index.ts'
import { type Typed, typedIn } from './rowsForm.ts'

const words = channelsPageWords.wrong

const LONGEST_PERSON = 60
const LONGEST_LABEL = 40

/** What decides which addresses may be called from here. */
export type Guard = { readonly allowLocal: boolean; readonly ownHost: string }

export type AddedKind = 'push' | 'mail' | 'publish'

type Checked<Value> = Result<Value, readonly FieldError[]>
export type Added = Extract<Command, { type: 'add-channel' }>

/** The channel that a form adds. The errors name the form's fields by their ids: `mail-address`. */
export async function channelAdded(
  kind: AddedKind,
  typed: Typed,
  guard: Guard,
): Promise<Checked<Added>> {
  const person = personIn(kind, typed)
  const label = lineIn(typed, 'label')
  const target = await targetIn(kind, typed, guard)
  const errors = [
    ...(person.ok ? [] : person.refusal),
    ...(isLine(label, LONGEST_LABEL) ? [] : [{ field: `${kind}-label`, message: words.label }]),
    ...(target.ok ? [] : target.refusal),
  ]
  if (!person.ok || !target.ok || errors.length > 0) return refuse(errors)
  // Anybody can type an address of somebody else: its owner is asked first.
  const state = kind === 'mail' ? 'waiting' : 'on'
  return ok({ type: 'add-channel', person: person.value, label, target: target.value, state })
}

/** Whose a channel is to be: one of the list, or a name as typed; who types one may not look at the list. */
export function personIn(form: AddedKind | 'telegram', typed: Typed): Checked<string> {
  const other = lineIn(typed, 'other')
  const person = other === '' ? lineIn(typed, 'person') : other
  return isLine(person, LONGEST_PERSON)
    ? ok(person)
    : refuse([{ field: `${form}-other`, message: words.person }])
}

/** What is wrong with an address; `null` if it may be called. */
export function addressWrong(address: string, guard: Guard): string | null {
  const checked = checkAddress(address, guard)
  return checked.ok ? null : words.address[checked.refusal.reason]
}

async function targetIn(
  kind: AddedKind,
  typed: Typed,
  guard: Guard,
): Promise<Checked<ChannelTarget>> {
  switch (kind) {
    case 'push':
      return pushIn(typed, guard)
    case 'mail': {
      const address = plainAddress(typedIn(typed, 'address'))
      return address === null
        ? refuse([{ field: 'mail-address', message: words.mail }])
        : ok({ kind, address })
    }
    case 'publish':
      return publishIn(typed, guard)
  }
}

async function pushIn(typed: Typed, guard: Guard): Promise<Checked<ChannelTarget>> {
  const wrong = refuse([{ field: 'push-go', message: words.push }])
  const endpoint = checkAddress(typedIn(typed, 'endpoint'), guard)
  if (!endpoint.ok) return wrong
  const subscription = {
    endpoint: endpoint.value,
    p256dh: typedIn(typed, 'p256dh'),
    auth: typedIn(typed, 'auth'),
  }
  const checked = await checkSubscription(subscription)
  return checked.ok ? checked : wrong
}

function publishIn(typed: Typed, guard: Guard): Checked<ChannelTarget> {
  const server = checkAddress(typedIn(typed, 'server'), guard)
  const topic = checkTopic(typedIn(typed, 'topic'))
  const given = typedIn(typed, 'token')
  const token = given === '' ? ok(null) : checkToken(given)
  if (server.ok && topic.ok && token.ok)
    return ok({ kind: 'publish', server: server.value, topic: topic.value, token: token.value })
  return refuse([
    ...(server.ok
      ? []
      : [{ field: 'publish-server', message: words.address[server.refusal.reason] }]),
    ...(topic.ok ? [] : [{ field: 'publish-topic', message: words.topic }]),
    ...(token.ok ? [] : [{ field: 'publish-token', message: words.token }]),
  ])
}

const lineIn = (typed: Typed, field: string): string => typedIn(typed, field).replace(/ +/g, ' ')

/** Something to show on one line, without marks that could turn the words around it. */
const isLine = (text: string, longest: number): boolean =>
  text !== '' &&
  text.length <= longest &&
  !/[\p{Cc}\u2028\u2029\u200E\u200F\u202A-\u202E\u2066-\u2069]/u.test(text)
