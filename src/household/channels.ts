// What comes and goes by a household's channels, besides reminders: tests, links, confirmations, answers.

import { type Speaker, converse } from '../chat/index.ts'
import type { Env } from '../env.ts'
import { type Outcome, sendWebhook } from '../delivery/index.ts'
import { asInstant } from '../plan/index.ts'
import {
  type Command,
  type Decision,
  type Household,
  type HouseholdChannel,
  type Reminder,
  WEBHOOK,
  addressOf,
  decide,
} from '../reminder/index.ts'
import { channelWords } from '../words/index.ts'
import { addressName } from './addresses.ts'
import type { Life } from './life.ts'
import { isSameCode, linkCode, mailCode } from './links.ts'
import { testMessage } from './message.ts'
import { digestOf, newKey, sameDigest } from './secrets.ts'
import { confirmLink, sendThrough } from './send.ts'
import type { Performed, Seen } from './seen.ts'

export type Tested =
  | { readonly kind: 'delivered' }
  /** Something did not work; `note` is for a developer. */
  | { readonly kind: 'unreachable' | 'gone'; readonly note: string }
  /** This copy of Holdbell has no keys for it. */
  | { readonly kind: 'not-set-up' }
  | { readonly kind: 'no-such-channel' }

export type Chat = { readonly chatId: string; readonly group: boolean }

export type Linked =
  | { readonly kind: 'linked'; readonly household: string }
  | { readonly kind: 'expired' }
  /** The chat is another household's. */
  | { readonly kind: 'taken' }

/** As it came by one channel, for one reminder. */
export type AnswerLink = { readonly channelId: string; readonly key: string; readonly code: string }

export type Asked = {
  readonly seen: Seen
  readonly reminder: Reminder
  readonly channel: Pick<HouseholdChannel, 'id' | 'person' | 'label'>
}

export type Act =
  | { readonly do: 'done' | 'later' | 'not-yet' }
  | { readonly do: 'reading'; readonly socPct: number }

/** Something written or tapped in a chat, or written in a mail. `messageId`: the same when it comes twice. */
export type Said = {
  readonly messageId: string
  readonly by: string | null
  /** How long ago it was written, where that is known: an old reading is of then. */
  readonly ageMs?: number
} & (
  | { readonly from: 'telegram'; readonly address: string }
  | { readonly from: 'mail'; readonly address: string; readonly token: string }
) &
  (
    | { readonly kind: 'text'; readonly text: string }
    | { readonly kind: 'tap'; readonly key: string; readonly does: 'done' | 'later' }
  )

export type Heard =
  | { readonly kind: 'answered'; readonly performed: Performed }
  /** It came before. */
  | { readonly kind: 'again' }
  /** No channel of this household leads there. */
  | { readonly kind: 'not-ours' }

/** How long a chat's one-time link lasts. */
export const INVITATION_MS = 15 * 60_000
const LATER_MINUTES = 10
/** Written longer ago than this, a figure is not of now. */
const LATE_MS = 2 * 60_000
const KEEP_HEARD = 50

export class Channels {
  readonly #life: Life
  readonly #env: Env

  constructor(life: Life, env: Env) {
    this.#life = life
    this.#env = env
  }

  /** One attempt now, past the outbox. */
  async test(household: Household, channelId: string): Promise<Tested> {
    if (channelId === WEBHOOK) return this.#testWebhook(household)
    const channel = household.channels.find(({ id }) => id === channelId)
    if (channel === undefined) return { kind: 'no-such-channel' }
    // Whose mailbox it is did not say yes, or said no.
    if (channel.target.kind === 'mail' && channel.state !== 'on')
      return { kind: 'unreachable', note: 'not confirmed' }
    const now = this.#life.now()
    const message = testMessage(household, channel, { origin: this.#life.origin(), now })
    const outcome = await sendThrough(household, channel, message, null, this.#life.tools(), now)
    return this.#tested(channel, outcome)
  }

  async #testWebhook(household: Household): Promise<Tested> {
    const { webhook, name } = household.settings
    if (webhook === null) return { kind: 'no-such-channel' }
    const now = this.#life.now()
    const about = { person: name, label: WEBHOOK }
    const message = testMessage(household, about, { origin: this.#life.origin(), now })
    const outcome = await sendWebhook(webhook, message, { fetch, now })
    if (outcome.kind === 'accepted') return { kind: 'delivered' }
    return { kind: outcome.kind === 'gone' ? 'gone' : 'unreachable', note: outcome.note }
  }

  async askMailOwner(household: Household, channelId: string): Promise<Tested> {
    const channel = household.channels.find(({ id }) => id === channelId)
    if (channel?.target.kind !== 'mail') return { kind: 'no-such-channel' }
    const [now, tools] = [this.#life.now(), this.#life.tools()]
    const mailbox = this.#env.ADDRESS.getByName(addressName('mail', channel.target.address))
    if (!(await mailbox.mayBeAsked(now)))
      return { kind: 'unreachable', note: 'asked often enough today' }
    const message = {
      ...testMessage(household, channel, { origin: this.#life.origin(), now }),
      text: channelWords.confirm(channel.person, household.settings.name),
      answerUrl: await confirmLink(household, channel, tools),
    }
    return this.#tested(channel, await sendThrough(household, channel, message, null, tools, now))
  }

  async inviteChat(household: Household, person: string): Promise<string> {
    const secret = newKey().slice(0, 22)
    const until = this.#life.now() + INVITATION_MS
    const invitation = { digest: await digestOf(secret), person, until }
    this.#life.store.setAside('secret', 'invitation', JSON.stringify(invitation))
    return `${household.id}${secret}`
  }

  async linkChat(secret: string, chat: Chat, by: string | null): Promise<Linked> {
    const household = this.#life.household
    const kept = this.#life.store.aside('secret', 'invitation')
    if (household === null || kept === null) return { kind: 'expired' }
    const { digest, person, until } = JSON.parse(kept) as Invitation
    const fits = sameDigest(await digestOf(secret), digest) && this.#life.now() < until
    if (!fits) return { kind: 'expired' }
    const label = chat.group ? channelWords.groupLabel : channelWords.chatLabel(by ?? person)
    const target = { kind: 'telegram', ...chat } as const
    const command: Command = { type: 'add-channel', person, label, target, state: 'on' }
    // The chat leads here before the channel is there: a crash in between leaves nothing that is sent and cannot be answered.
    const address = this.#env.ADDRESS.getByName(addressName('telegram', chat.chatId))
    if (!(await address.claim(household.id))) return { kind: 'taken' }
    const done = await this.#perform(command, () =>
      this.#life.store.dropAside('secret', 'invitation'),
    )
    return done?.outcome.ok === true
      ? { kind: 'linked', household: household.settings.name }
      : { kind: 'expired' }
  }

  async asked({ channelId, key, code }: AnswerLink): Promise<Asked | null> {
    const household = this.#life.household
    const reminder = household?.reminders.find((each) => each.key === key)
    const channel = household?.channels.find(({ id }) => id === channelId)
    if (!household || !reminder || !channel) return null
    if (!(await this.#fits(code, 'answer', channelId, addressOf(channel.target), key))) return null
    const { id, person, label } = channel
    const now = this.#life.household ?? household
    const current = now.reminders.find((each) => each.key === key) ?? reminder
    return { seen: this.#life.seen(now), reminder: current, channel: { id, person, label } }
  }

  async answer(link: AnswerLink, act: Act): Promise<Performed | null> {
    const asked = await this.asked(link)
    if (asked === null) return null
    const { person, id } = asked.channel
    return this.#perform(this.#commandOf(asked.reminder, act, person, id))
  }

  async confirm(channelId: string, code: string): Promise<boolean> {
    const household = this.#life.household
    const channel = household?.channels.find(({ id }) => id === channelId)
    if (!household || channel?.target.kind !== 'mail') return false
    const { address } = channel.target
    if (!(await this.#fits(code, 'confirm', channelId, address))) return false
    await this.#lead('mail', address, household.id)
    await this.#perform({ type: 'turn-channel', channelId, to: 'on' })
    return true
  }

  async stop(channelId: string, code: string): Promise<boolean> {
    const channel = this.#life.household?.channels.find(({ id }) => id === channelId)
    if (channel === undefined) return false
    if (!(await this.#fits(code, 'stop', channelId, addressOf(channel.target)))) return false
    await this.#perform({ type: 'turn-channel', channelId, to: 'off' })
    return true
  }

  async hear(said: Said): Promise<Heard> {
    const channel = this.#life.household?.channels.find(
      ({ target, state }) =>
        state === 'on' && target.kind === said.from && addressOf(target) === said.address,
    )
    if (channel === undefined || !(await this.#isOwner(channel, said))) return { kind: 'not-ours' }
    const household = this.#life.household
    if (household === null) return { kind: 'not-ours' }
    const heard = this.#heard()
    if (heard.includes(said.messageId)) return { kind: 'again' }
    const now = this.#life.now()
    const { ageMs = 0 } = said
    const late = ageMs > LATE_MS ? { saidAt: asInstant(now - ageMs) } : {}
    const speaker = { by: said.by ?? channel.person, channel: channel.id, ...late }
    const decision = this.#decided(household, said, speaker, now)
    const keepHeard = () =>
      this.#life.store.setAside(
        'address',
        'heard',
        JSON.stringify([...heard, said.messageId].slice(-KEEP_HEARD)),
      )
    const performed = await this.#life.carryOut(household, decision, keepHeard, channel.id)
    return { kind: 'answered', performed }
  }

  async chatLeft(chatId: string): Promise<void> {
    const channel = this.#life.household?.channels.find(
      ({ target }) => target.kind === 'telegram' && target.chatId === chatId,
    )
    if (channel === undefined) return
    await this.#perform({ type: 'turn-channel', channelId: channel.id, to: 'off' })
  }

  async chatMoved(chatId: string, to: string): Promise<void> {
    const household = this.#life.household
    const channel = household?.channels.find(
      ({ target }) => target.kind === 'telegram' && target.chatId === chatId,
    )
    if (!household || channel?.target.kind !== 'telegram') return
    await this.#lead('telegram', to, household.id)
    const { id, person, label } = channel
    const target = { ...channel.target, chatId: to }
    await this.#perform({
      type: 'add-channel',
      person,
      label,
      target,
      state: 'on',
      replaces: id,
    })
  }

  /** Nothing leads here any more. */
  async forgetAll(): Promise<void> {
    const household = this.#life.household
    if (household !== null) await Promise.all(household.channels.map((each) => this.forget(each)))
  }

  /** Removes a channel; what led here from there does not any more. */
  async remove(household: Household, channelId: string): Promise<Performed | null> {
    const channel = household.channels.find(({ id }) => id === channelId)
    const performed = await this.#perform({ type: 'remove-channel', channelId })
    if (channel !== undefined) await this.forget(channel)
    return performed
  }

  async forget({ target }: HouseholdChannel): Promise<void> {
    const id = this.#life.household?.id
    if (id === undefined || (target.kind !== 'telegram' && target.kind !== 'mail')) return
    await this.#env.ADDRESS.getByName(addressName(target.kind, addressOf(target))).forget(id)
  }

  #decided(
    household: Household,
    said: Said,
    speaker: Speaker & { readonly channel: string },
    now: Seen['now'],
  ): Decision {
    if (said.kind === 'text') return converse(household, said.text, now, speaker)
    const reminder = household.reminders.find(({ key }) => key === said.key)
    const { by, channel } = speaker
    const command: Command =
      reminder === undefined
        ? { type: 'acknowledge', key: said.key, by, channel }
        : this.#commandOf(reminder, { do: said.does }, by, channel)
    return decide(command, household, now)
  }

  #commandOf({ key, kind, eventId }: Reminder, act: Act, by: string, channel: string): Command {
    switch (act.do) {
      case 'done':
        // A look names the figure at which to hold: "done" says that it is paused.
        return kind === 'reading'
          ? { type: 'held', eventId, by }
          : { type: 'acknowledge', key, by, channel }
      case 'later':
        return { type: 'snooze', key, minutes: LATER_MINUTES }
      case 'not-yet':
        return { type: 'reopen', key }
      case 'reading':
        return { type: 'reading', at: this.#life.now(), socPct: act.socPct }
    }
  }

  async #tested(channel: HouseholdChannel, outcome: Outcome): Promise<Tested> {
    if (outcome.kind === 'refused' && outcome.note === 'not set up here')
      return { kind: 'not-set-up' }
    const delivered = outcome.kind === 'accepted'
    const kind = delivered ? 'delivered' : outcome.kind === 'gone' ? 'gone' : 'unreachable'
    const note = delivered ? null : outcome.note
    await this.#perform({
      type: 'tested-channel',
      channelId: channel.id,
      result: { at: this.#life.now(), outcome: kind, note },
      address: addressOf(channel.target),
    })
    return kind === 'delivered' ? { kind } : { kind, note: note ?? '' }
  }

  /** A mail's sender can be forged, the address that it was sent to cannot be guessed. */
  async #isOwner({ id, target }: HouseholdChannel, said: Said): Promise<boolean> {
    if (said.from !== 'mail') return true
    return isSameCode(
      said.token,
      await mailCode(this.#life.signingKey(), 'mail', id, addressOf(target)),
    )
  }

  async #fits(code: string, ...parts: readonly string[]): Promise<boolean> {
    if (this.#life.household === null) return false
    return isSameCode(code, await linkCode(this.#life.signingKey(), ...parts))
  }

  #heard(): readonly string[] {
    const kept = this.#life.store.aside('address', 'heard')
    return kept === null ? [] : (JSON.parse(kept) as string[])
  }

  async #lead(kind: 'telegram' | 'mail', address: string, householdId: string): Promise<void> {
    return this.#env.ADDRESS.getByName(addressName(kind, address)).lead(householdId)
  }

  /** Decides on the household as it is now, after whatever was waited for; `null` if it was deleted meanwhile. */
  async #perform(command: Command, withIt?: () => void): Promise<Performed | null> {
    const household = this.#life.household
    if (household === null) return null
    return this.#life.carryOut(household, decide(command, household, this.#life.now()), withIt)
  }
}

type Invitation = { readonly digest: string; readonly person: string; readonly until: number }
