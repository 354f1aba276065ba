// A request's body as a checked value, or the problem that it is.

import type { Context } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import type * as z from 'zod'
import type { Result } from '../../plan/index.ts'
import { ok, refuse } from '../../plan/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import { invalid, pointer, problem } from './problem.ts'
import type { Problem } from './problem.ts'
import { repeatedName } from './repeated.ts'
import { troubles } from './trouble.ts'

export const MAX_BODY_BYTES = 1024 * 1024

/** Refuses a body over 1 MiB, whether its length was declared or not. */
export const limitBody = bodyLimit({
  maxSize: MAX_BODY_BYTES,
  onError: (c) =>
    problem(c, {
      type: 'body-too-large',
      status: 413,
      detail: problemWords.tooLarge(MAX_BODY_BYTES),
    }),
})

/** Reads a JSON object and checks it. `whenEmpty` stands in for no body at all, where that is allowed. */
export async function readBody<Schema extends z.ZodType>(
  c: Context,
  schema: Schema,
  whenEmpty?: object,
): Promise<Result<z.output<Schema>, Problem>> {
  const bytes = await c.req.arrayBuffer()
  const json =
    bytes.byteLength === 0 ? empty(whenEmpty) : parse(c.req.header('content-type'), bytes)
  if (!json.ok) return json
  // The issues carry the input so that a missing field can be told from a wrong one.
  const checked = schema.safeParse(json.value, { reportInput: true })
  return checked.success ? ok(checked.data) : refuse(invalid(troubles(checked.error.issues)))
}

const unreadable = (detail: string): Result<never, Problem> =>
  refuse({ type: 'unreadable-body', status: 400, detail, errors: [{ pointer: '#', detail }] })

const empty = (whenEmpty: object | undefined): Result<unknown, Problem> =>
  whenEmpty === undefined ? unreadable(problemWords.emptyBody) : ok(whenEmpty)

function parse(mediaType: string | undefined, bytes: ArrayBuffer): Result<unknown, Problem> {
  if (!isJson(mediaType))
    return refuse({
      type: 'unsupported-media-type',
      status: 415,
      detail: problemWords.wrongMediaType,
    })
  const text = utf8(bytes)
  if (text === null) return unreadable(problemWords.notUtf8)
  if (text.trim() === '') return unreadable(problemWords.emptyBody)
  const value = parsed(text)
  if (value === undefined) return unreadable(problemWords.notJson)
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return unreadable(problemWords.notObject)
  const repeated = repeatedName(text)
  if (repeated === null) return ok(value)
  return refuse(invalid([{ pointer: pointer(repeated), detail: problemWords.repeatedKey }]))
}

const isJson = (mediaType: string | undefined) =>
  /^application\/(merge-patch\+)?json\s*(;|$)/i.test(mediaType?.trim() ?? '')

function utf8(bytes: ArrayBuffer): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: false }).decode(bytes)
  } catch {
    return null
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
