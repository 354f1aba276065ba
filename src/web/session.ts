// The browser's key to its household: a cookie that only this host gets, and the value that forms carry to
// show that they came from a page of ours.

import type { Context } from 'hono'
import { deleteCookie, getCookie, setCookie } from 'hono/cookie'
import { randomText } from '../household/index.ts'

const A_YEAR_S = 365 * 24 * 3600

/** `__Host-` binds a cookie to https and this host alone; a local run is http, where no browser takes it. */
const nameOf = (c: Context, name: string): string =>
  isSecure(c) ? `__Host-holdbell-${name}` : `holdbell-${name}`

const isSecure = (c: Context): boolean => new URL(c.req.url).protocol === 'https:'

const options = (c: Context) =>
  ({ path: '/', httpOnly: true, sameSite: 'Lax', secure: isSecure(c), maxAge: A_YEAR_S }) as const

export const tokenIn = (c: Context): string | null => getCookie(c, nameOf(c, 'key')) ?? null

export const keepToken = (c: Context, token: string): void =>
  setCookie(c, nameOf(c, 'key'), token, options(c))

export const forgetToken = (c: Context): void => {
  deleteCookie(c, nameOf(c, 'key'), { path: '/', secure: isSecure(c) })
}

/** The form value of this browser, made on its first page. */
export function formKey(c: Context): string {
  const kept = getCookie(c, nameOf(c, 'form'))
  if (kept !== undefined) return kept
  const fresh = randomText(16)
  setCookie(c, nameOf(c, 'form'), fresh, options(c))
  return fresh
}

/** From here on a form of an older page does not fit any more. */
export const renewFormKey = (c: Context): void =>
  setCookie(c, nameOf(c, 'form'), randomText(16), options(c))

/** Whether a posted form carries this browser's value. */
export const fitsForm = (c: Context, given: unknown): boolean => {
  const kept = getCookie(c, nameOf(c, 'form'))
  return kept !== undefined && given === kept
}
