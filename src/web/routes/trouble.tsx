// Pages for what should not happen: a form from nowhere, an address that is none, a bug.

import type { Context } from 'hono'
import { troubleWords } from '../../words/index.ts'
import { ProblemPage } from '../pages/index.ts'

const page = (
  c: Context,
  status: 403 | 404 | 413 | 500,
  words: { readonly heading: string; readonly what: string; readonly doNext: string },
): Response | Promise<Response> =>
  c.html(<ProblemPage heading={words.heading} what={words.what} doNext={words.doNext} />, status)

export const expired = (c: Context) => page(c, 403, troubleWords.expired)
export const nowhere = (c: Context) => page(c, 404, troubleWords.nowhere)
export const tooLarge = (c: Context) => page(c, 413, troubleWords.tooLarge)
export const broken = (c: Context) => page(c, 500, troubleWords.broken)
