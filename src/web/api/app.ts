// The whole API as one app: its routes, the limit on bodies, and a problem for every address and method there is not.

import { Hono } from 'hono'
import { problemWords } from '../../words/en/problems.ts'
import { limitBody } from './body.ts'
import { householdRoutes } from './household.ts'
import { METER_PATH, meterRoutes } from './meter.ts'
import { openapi } from './openapi.ts'
import { operations } from './operations.ts'
import { planRoutes } from './plan.ts'
import { methodNotAllowed, notFound, problem } from './problem.ts'
import type { ApiTools } from './tools.ts'

/** To be mounted at the root: its paths are whole. Everything under `/api` is its own. */
export function apiApp(tools: ApiTools): Hono {
  const app = new Hono()
  app.onError((_, c) =>
    problem(c, { type: 'internal', status: 500, detail: problemWords.internal }),
  )
  // A meter's file may be larger, and is measured where it is read.
  app.use('/api/*', (c, next) => (c.req.path === METER_PATH ? next() : limitBody(c, next)))
  app.route('/', planRoutes)
  app.route('/', householdRoutes(tools))
  app.route('/', meterRoutes(tools))
  app.get('/openapi.json', (c) => c.json(openapi(tools.version)))
  app.get('/healthz', (c) =>
    c.json({ status: 'ok', version: tools.version }, 200, { 'cache-control': 'no-store' }),
  )
  for (const path of new Set(operations.map((each) => each.path)))
    app.all(path, (c) => problem(c, methodNotAllowed(methodsOf(path))))
  app.all('/api/*', (c) => problem(c, notFound()))
  app.notFound((c) => problem(c, notFound()))
  return app
}

// A GET answers HEAD too (RFC 9110 §9.3.2).
const methodsOf = (path: string): string[] =>
  operations
    .filter((each) => each.path === path)
    .flatMap(({ method }) => (method === 'get' ? ['GET', 'HEAD'] : [method.toUpperCase()]))
