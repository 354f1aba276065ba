// Buttons under a message, and what a tap on one carries back: `done:hold-e1-1`, `later:hold-e1-1`, or
// `say:58 %` for a complete message. Written and read here alone.

import type { Button } from '../reminder/index.ts'
import type { Tap } from './channel.ts'

export type TelegramTap =
  | { readonly does: Tap['does']; readonly key: string }
  | { readonly does: 'say'; readonly text: string }

type InlineButton = { readonly text: string; readonly callback_data: string }

/** The part of a call that says which buttons there are. */
export type Buttons = {
  readonly reply_markup?: { readonly inline_keyboard: readonly (readonly InlineButton[])[] }
}

// `callback_data`: 1 to 64 bytes, not characters.
const LONGEST_DATA = 64

const bytesOf = (text: string) => new TextEncoder().encode(text).length

/** Takes away the buttons that a message has. */
export const NO_BUTTONS: Buttons = { reply_markup: { inline_keyboard: [] } }

const inRows = (rows: readonly (readonly InlineButton[])[]): Buttons =>
  rows.every((row) => row.length === 0) ? {} : { reply_markup: { inline_keyboard: rows } }

/** What a reminder's taps become, side by side. A key that a button cannot carry is a bug. */
export function tapButtons(taps: readonly Tap[], key: string): Buttons {
  const row = taps.map(({ label, does }) => ({ text: label, callback_data: `${does}:${key}` }))
  const tooLong = row.find(({ callback_data }) => bytesOf(callback_data) > LONGEST_DATA)
  if (tooLong !== undefined)
    throw new RangeError(
      `Cannot make a button as what it carries must be at most ${LONGEST_DATA} bytes: current value is ${tooLong.callback_data}`,
    )
  return inRows([row])
}

export const fitsButton = ({ send }: Button): boolean => bytesOf(sayData(send)) <= LONGEST_DATA

/** Complete messages as buttons, one below the other; those that fit (`fitsButton`). */
export const sayButtons = (buttons: readonly Button[]): Buttons =>
  inRows(
    buttons
      .filter(fitsButton)
      .map(({ label, send }) => [{ text: label, callback_data: sayData(send) }]),
  )

const sayData = (send: string) => `say:${send}`

/** What a button of ours carries; `null` for anything else. */
export function readTap(data: string): TelegramTap | null {
  const colon = data.indexOf(':')
  const does = data.slice(0, Math.max(0, colon))
  const rest = data.slice(colon + 1)
  if (rest === '' || bytesOf(data) > LONGEST_DATA) return null
  if (does === 'say') return { does, text: rest }
  return does === 'done' || does === 'later' ? { does, key: rest } : null
}
