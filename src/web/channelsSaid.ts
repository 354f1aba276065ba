// What the page "Who is told" says of what was just done. The address that a form leads back to names it; the words are here.

import type { Tested } from '../household/index.ts'
import type { Household } from '../reminder/index.ts'
import { channelsPageWords as words } from '../words/index.ts'

export type Said = Exclude<keyof typeof words.said, 'deliveredMail'>

export const SAID_OF_TEST = {
  delivered: 'delivered',
  unreachable: 'unreachable',
  gone: 'gone',
  'not-set-up': 'notSetUp',
  'no-such-channel': 'changed',
} as const satisfies Record<Tested['kind'], Said>

/** The words for what the address says was done; `null` where it says nothing that we know. */
export function saidWords(
  what: string | undefined,
  about: string | undefined,
  { channels }: Household,
): string | null {
  const say = words.said
  if (what === 'removed' || what === 'changed' || what === 'webhookSaved') return say[what]
  switch (what) {
    case 'webhookRemoved':
    case 'webhookDelivered':
    case 'webhookUnreachable':
    case 'webhookGone':
      return say[what]
  }
  const channel = channels.find(({ id }) => id === about)
  if (channel === undefined) return null
  const { person, label, target } = channel
  switch (what) {
    case 'delivered':
      return target.kind === 'mail'
        ? say.deliveredMail(person, label)
        : say.delivered(person, label)
    case 'unreachable':
    case 'gone':
    case 'notSetUp':
    case 'added':
      return say[what](person, label)
    case 'asked':
    case 'notAsked':
      return target.kind === 'mail' ? say[what](target.address) : null
    default:
      return null
  }
}
