// From the schema's issues to fields and sentences: the one place that knows zod's codes.

import type * as z from 'zod'
import { problemWords as words } from '../../words/en/problems.ts'
import { pointer } from './problem.ts'
import type { FieldTrouble } from './problem.ts'

type Issue = z.core.$ZodIssue
type Path = readonly PropertyKey[]

/** One line for each field, in the order found; the issues must carry their input. */
export const troubles = (issues: readonly Issue[], under: Path = []): FieldTrouble[] =>
  issues.flatMap((issue) => {
    const path = [...under, ...issue.path]
    if (issue.code === 'unrecognized_keys')
      return issue.keys.map((key) => ({
        pointer: pointer([...path, key]),
        detail: words.unknownField,
      }))
    if (issue.code === 'invalid_union') {
      const meant = issue.errors.find(isTheOneMeant)
      if (issue.input !== undefined && meant !== undefined) return troubles(meant, path)
    }
    return [{ pointer: pointer(path), detail: sentence(issue) }]
  })

// Of the alternatives, the sender meant the one whose own names were all given and no other.
const isTheOneMeant = (issues: readonly Issue[]) =>
  issues.every((issue) => {
    const atTop = issue.path.length === (issue.code === 'unrecognized_keys' ? 0 : 1)
    const missing = issue.code === 'invalid_type' && issue.input === undefined
    const notAnObject = issue.path.length === 0 && issue.code !== 'unrecognized_keys'
    return !notAnObject && !(atTop && (missing || issue.code === 'unrecognized_keys'))
  })

function sentence(issue: Issue): string {
  switch (issue.code) {
    case 'custom':
      return issue.message
    case 'invalid_type':
      return issue.input === undefined ? words.missing : wrongKind(issue.expected, issue.input)
    case 'invalid_union':
      return issue.input === undefined ? words.missing : issue.message
    case 'invalid_value':
      return issue.input === undefined
        ? words.missing
        : words.oneOfValues(issue.values.map((value) => JSON.stringify(value)).join(', '))
    case 'too_small':
      return tooSmall(issue)
    case 'too_big':
      return tooBig(issue)
    case 'invalid_format':
      return words.wrongForm
    default:
      return words.notValid
  }
}

function wrongKind(expected: string, input: unknown): string {
  const { wrongKind: kinds } = words
  // 1e999 is valid JSON and reads as Infinity.
  if (typeof input === 'number' && !Number.isFinite(input)) return kinds.finite
  return expected in kinds ? kinds[expected as keyof typeof kinds] : kinds.other
}

function tooSmall({ origin, minimum, inclusive, exact }: z.core.$ZodIssueTooSmall): string {
  const least = Number(minimum)
  if (origin === 'array') return exact ? words.listExactly(least) : words.listAtLeast(least)
  if (origin === 'string') return words.textAtLeast(least)
  return inclusive ? words.numberAtLeast(least) : words.numberAbove(least)
}

function tooBig({ origin, maximum, inclusive, exact }: z.core.$ZodIssueTooBig): string {
  const most = Number(maximum)
  if (origin === 'array') return exact ? words.listExactly(most) : words.listAtMost(most)
  if (origin === 'string') return words.textAtMost(most)
  return inclusive ? words.numberAtMost(most) : words.numberBelow(most)
}
