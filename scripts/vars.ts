// The file that `npm start -- --vars FILE` reads: what the channels take, as lines NAME=value. A deployed worker has
// the same names as secrets instead.

import { plainAddress } from '../src/delivery/index.ts'

const BOT = ['TELEGRAM_TOKEN', 'TELEGRAM_BOT', 'TELEGRAM_SECRET'] as const
const NAMES = [...BOT, 'TELEGRAM_API', 'MAIL_FROM', 'MAIL_AUTH_SERVER', 'VAPID_SUBJECT'] as const

type Name = (typeof NAMES)[number]
export type Vars = { readonly [name in Name]?: string }

/** A sentence for whoever wrote the file. It never repeats a value, as that may be a secret. */
export class BadVars extends Error {}

const FORMS: { readonly [name in Name]?: readonly [(value: string) => boolean, string] } = {
  TELEGRAM_BOT: [(value) => /^\w{5,32}$/.test(value), "the bot's user name, without @"],
  TELEGRAM_SECRET: [(value) => /^[\w-]{1,256}$/.test(value), '1 to 256 of A-Z a-z 0-9 _ -'],
  TELEGRAM_API: [
    (value) => /^https?:\/\/[^/]+$/.test(value),
    'an origin, such as http://127.0.0.1:8081',
  ],
  MAIL_FROM: [(value) => plainAddress(value) !== null, 'a mail address'],
  // RFC 8292 §2.1.
  VAPID_SUBJECT: [(value) => /^(mailto:|https:)./.test(value), 'an address with mailto: or https:'],
}

/** Reads the file's text; throws `BadVars` for what cannot be meant. */
export function readVars(text: string, { allowLocal }: { readonly allowLocal: boolean }): Vars {
  const vars: Partial<Record<Name, string>> = {}
  for (const [index, line] of text
    .replace(/^\uFEFF/, '')
    .split(/\r?\n/)
    .entries()) {
    const said = line.trim()
    if (said === '' || said.startsWith('#')) continue
    const [, left = '', value = ''] = /^([^=]*)=(.*)$/.exec(said) ?? []
    const name = NAMES.find((each) => each === left.trim())
    const refuse = (why: string) => new BadVars(`line ${index + 1}: ${why}`)
    if (!said.includes('=')) throw refuse('write NAME=value.')
    if (name === undefined) throw refuse(`"${left.trim()}" is none of ${NAMES.join(', ')}.`)
    if (vars[name] !== undefined) throw refuse(`${name} is there twice.`)
    const [fits, form] = FORMS[name] ?? [(each: string) => each !== '', 'a value']
    if (!fits(value.trim())) throw refuse(`${name} takes ${form}.`)
    vars[name] = value.trim()
  }
  const missing = BOT.filter((name) => vars[name] === undefined)
  if (missing.length > 0 && missing.length < BOT.length)
    throw new BadVars(`the bot takes ${BOT.join(', ')}: ${missing.join(' and ')} missing.`)
  if (vars.TELEGRAM_API !== undefined && !allowLocal)
    throw new BadVars('TELEGRAM_API is for tests: it takes --allow-local.')
  return vars
}
