// What every page route has at hand: the households, how this copy is run, and the household that the
// browser has the key of.

import type { Context, MiddlewareHandler } from 'hono'
import { createMiddleware } from 'hono/factory'
import type { Env } from '../env.ts'
import type { HouseholdDoor } from './api/index.ts'
import { type Households, householdsIn } from './households.ts'
import { fitsForm, forgetToken, tokenIn } from './session.ts'

export type Place = {
  readonly env: Env
  readonly origin: string
  readonly households: Households
  readonly allowLocal: boolean
  readonly rehearse: boolean
}

export const placeOf = (env: Env, url: URL): Place => ({
  env,
  origin: url.origin,
  households: householdsIn(env),
  allowLocal: env.ALLOW_LOCAL !== undefined,
  rehearse: env.REHEARSE !== undefined,
})

export type Inside = { Variables: { door: HouseholdDoor } }

/** Lets in who has a key; sends everybody else to the front page. */
export const inside = ({ households }: Place): MiddlewareHandler<Inside> =>
  createMiddleware(async (c, next) => {
    const token = tokenIn(c)
    const door = token === null ? null : await households.open(token)
    if (door === null) {
      // The household is gone, or the key was changed: the cookie opens nothing any more.
      if (token !== null) forgetToken(c)
      return c.redirect('/?closed', 303)
    }
    c.set('door', door)
    return next()
  })

/** A posted form's fields, as text; `null` when it did not come from a page of ours. */
export async function formOf(c: Context): Promise<Readonly<Record<string, string>> | null> {
  // A body that is no form at all is as good as none.
  const body = await c.req.parseBody().catch(() => null)
  if (body === null || !fitsForm(c, body['csrf'])) return null
  const texts = Object.entries(body).filter(
    (entry): entry is [string, string] => typeof entry[1] === 'string',
  )
  return Object.fromEntries(texts)
}
