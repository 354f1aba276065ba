// RFC 9457 problem details: what every refusal of the API looks like. Not where refusals are decided.

import type { Context } from 'hono'
import { problemWords } from '../../words/en/problems.ts'

export type FieldTrouble = { readonly pointer: string; readonly detail: string }

export type MeterQuestion = {
  readonly about: string
  readonly text: string
  readonly choices: readonly { readonly text: string; readonly answer: object }[]
}

export type ProblemType = keyof typeof problemWords.titles

export type Problem = {
  readonly type: ProblemType
  readonly status: 400 | 401 | 404 | 405 | 409 | 413 | 415 | 422 | 500
  readonly detail: string
  readonly errors?: readonly FieldTrouble[]
  /** What has to be answered first, with the answers as query parameters. */
  readonly question?: MeterQuestion
  readonly headers?: Readonly<Record<string, string>>
}

/** Sends it as `application/problem+json`; `type` is an absolute path, as RFC 9457 §3.1.1 recommends over a relative one. */
export function problem(
  c: Context,
  { type, status, detail, errors, question, headers }: Problem,
): Response {
  const body = {
    type: `/problems/${type}`,
    title: problemWords.titles[type],
    status,
    detail,
    ...(errors === undefined ? {} : { errors }),
    ...(question === undefined ? {} : { question }),
  }
  return c.body(JSON.stringify(body), status, {
    ...headers,
    'content-type': 'application/problem+json',
    'cache-control': 'no-store',
  })
}

/** A JSON Pointer as a URI fragment: `~` and `/` escaped (RFC 6901 §3), then what a fragment cannot hold (§6). */
export const pointer = (path: readonly PropertyKey[]): string =>
  `#${path.map((part) => `/${fragment(String(part).replaceAll('~', '~0').replaceAll('/', '~1'))}`).join('')}`

// A lone surrogate has no UTF-8 form; it is shown as the replacement character.
const fragment = (part: string) => encodeURIComponent(part.replaceAll(/\p{Cs}/gu, '\uFFFD'))

const MAX_ERRORS = 50

/** 400: the fields that do not fit the schema. */
export function invalid(troubles: readonly FieldTrouble[]): Problem {
  const errors = troubles.slice(0, MAX_ERRORS)
  const detail =
    errors.length < troubles.length
      ? problemWords.invalidMore(errors.length, troubles.length)
      : problemWords.invalid(troubles.length)
  return { type: 'invalid-request', status: 400, detail, errors }
}

/** 422: one field that is well formed and still cannot be. */
export const refused = (path: readonly PropertyKey[], detail: string): Problem => ({
  type: 'refused',
  status: 422,
  detail,
  errors: [{ pointer: pointer(path), detail }],
})

export const notFound = (detail: string = problemWords.noSuchAddress): Problem => ({
  type: 'not-found',
  status: 404,
  detail,
})

export const methodNotAllowed = (methods: readonly string[]): Problem => {
  const allow = methods.join(', ')
  return {
    type: 'method-not-allowed',
    status: 405,
    detail: problemWords.wrongMethod(allow),
    headers: { allow },
  }
}

// RFC 6750 §3: a bare challenge without a token, invalid_token with a wrong one.
export const unauthorized = (tokenGiven: boolean): Problem => ({
  type: 'unauthorized',
  status: 401,
  detail: tokenGiven ? problemWords.wrongToken : problemWords.noToken,
  headers: {
    'www-authenticate': tokenGiven ? 'Bearer error="invalid_token"' : 'Bearer',
  },
})
