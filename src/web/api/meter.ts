// A meter's file in, and all meter data away. The file is the body itself; what has to be said about it is asked for
// as query parameters.

import { Hono } from 'hono'
import type { Context } from 'hono'
import { type Answers, type Question, sayQuestion } from '../../meter/index.ts'
import { type Result, ok, refuse } from '../../plan/index.ts'
import { format, meterPageWords as words } from '../../words/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import { CSV_TYPE, MOST_FILE_BYTES, bodyWithin } from '../upload.ts'
import { refusalSentence } from '../uploadWords.ts'
import { withDoor } from './household.ts'
import { meterAnswer } from './meterView.ts'
import { type Problem, invalid, notFound, pointer, problem } from './problem.ts'
import { METER_TYPES, MeterAnswers } from './schemas/meter.ts'
import type { ApiTools } from './tools.ts'
import { troubles } from './trouble.ts'

export const METER_PATH = '/api/meter'

export function meterRoutes(tools: ApiTools): Hono {
  const inside = withDoor(tools)
  return new Hono()
    .get(
      METER_PATH,
      inside(async (c, door) => {
        const file = await door.meterFile()
        if (file === '') return problem(c, notFound(words.api.none))
        return c.body(file, 200, { 'content-type': CSV_TYPE })
      }),
    )
    .post(
      METER_PATH,
      inside(async (c, door) => {
        const answers = answersOf(c)
        if (!answers.ok) return problem(c, answers.refusal)
        const bytes = await fileOf(c)
        if (!bytes.ok) return problem(c, bytes.refusal)
        const file = { bytes: bytes.value, answers: answers.value }
        const outcome = await door.takeMeter(file, { keep: false })
        switch (outcome.kind) {
          case 'taken': {
            const { meter } = outcome.seen.household
            if (meter === null) throw new RangeError('Cannot find the meter data just taken')
            return c.json(meterAnswer(outcome.report, meter))
          }
          case 'question':
            return problem(c, questionProblem(outcome.question))
          case 'refused': {
            const { settings } = (await door.read()).household
            const f = format(settings.language, settings.timeZone)
            const detail = refusalSentence(outcome.refusal, f)
            return problem(c, { type: 'meter-refused', status: 422, detail })
          }
          case 'closed':
            throw new RangeError('Cannot close a question that was not kept')
        }
      }),
    )
    .delete(
      METER_PATH,
      inside(async (c, door) => {
        await door.forgetMeter()
        return c.body(null, 204)
      }),
    )
}

function answersOf(c: Context): Result<Answers, Problem> {
  const given = Object.entries(c.req.queries())
  const twice = given.filter(([, values]) => values.length > 1)
  if (twice.length > 0)
    return refuse(
      invalid(
        twice.map(([name]) => ({ pointer: pointer([name]), detail: problemWords.repeatedKey })),
      ),
    )
  const once = Object.fromEntries(given.map(([name, values]) => [name, values[0]]))
  const checked = MeterAnswers.safeParse(once, { reportInput: true })
  if (!checked.success) return refuse(invalid(troubles(checked.error.issues)))
  const { column, ...rest } = checked.data
  return ok({ ...rest, ...(column === undefined ? {} : { column: Number(column) }) } as Answers)
}

async function fileOf(c: Context): Promise<Result<Uint8Array, Problem>> {
  const mediaType = (c.req.header('content-type') ?? '').split(';', 1)[0]?.trim().toLowerCase()
  const encoding = c.req.header('content-encoding')?.trim().toLowerCase() ?? 'identity'
  const known = METER_TYPES.some((each) => each === mediaType)
  if (!known || encoding !== 'identity')
    return refuse({
      type: 'unsupported-media-type',
      status: 415,
      detail: known ? words.api.packed : words.api.mediaType(METER_TYPES.join(', ')),
    })
  const bytes = await bodyWithin(c.req.raw, MOST_FILE_BYTES)
  return bytes === null
    ? refuse({
        type: 'body-too-large',
        status: 413,
        detail: problemWords.tooLarge(MOST_FILE_BYTES),
      })
    : ok(bytes)
}

function questionProblem(question: Question): Problem {
  const { text, choices } = sayQuestion(question)
  return {
    type: 'meter-question',
    status: 409,
    detail: words.api.question(text),
    question: { about: question.about, text, choices },
  }
}
