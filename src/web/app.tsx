// The web app: what every answer carries, then the routes. Pages are for people, /api for programs.

import { Hono } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import { csrf } from 'hono/csrf'
import { HTTPException } from 'hono/http-exception'
import { secureHeaders } from 'hono/secure-headers'
import type { Env } from '../env.ts'
import { apiApp } from './api/index.ts'
import { apiTools } from './apiTools.ts'
import { HouseholdGone } from './households.ts'
import { placeOf } from './place.ts'
import { answerRoutes } from './routes/answer.tsx'
import { calendarRoutes } from './routes/calendar.ts'
import { channelRoutes } from './routes/channels.tsx'
import { entranceRoutes } from './routes/entrance.tsx'
import { habitRoutes } from './routes/habits.tsx'
import { UPLOAD_PATH, meterRoutes } from './routes/meter.tsx'
import { planRoutes } from './routes/plan.tsx'
import { setupRoutes } from './routes/setup.tsx'
import { sunRoutes } from './routes/sun.tsx'
import { telegramRoutes } from './routes/telegram.ts'
import { webhookRoutes } from './routes/webhook.tsx'
import { broken, expired, nowhere, tooLarge } from './routes/trouble.tsx'

const LOOPBACK = new Set(['localhost', '127.0.0.1', '[::1]'])

/** Forms are short; the longest holds an announcement as it was pasted. */
const MAX_FORM_BYTES = 256 * 1024

const headers = secureHeaders({
  contentSecurityPolicy: {
    defaultSrc: ["'none'"],
    styleSrc: ["'self'"],
    scriptSrc: ["'self'"],
    imgSrc: ["'self'", 'data:'],
    connectSrc: ["'self'"],
    formAction: ["'self'"],
    manifestSrc: ["'self'"],
    workerSrc: ["'self'"],
    baseUri: ["'none'"],
    frameAncestors: ["'none'"],
  },
  strictTransportSecurity: 'max-age=31536000',
  xFrameOptions: 'DENY',
})

export function webApp(env: Env, url: URL): Hono {
  const place = placeOf(env, url)
  const pages = new Hono()
  pages.use(csrf())
  const limitForm = bodyLimit({ maxSize: MAX_FORM_BYTES, onError: tooLarge })
  // A meter's file is larger, and is measured where it is read.
  pages.use((c, next) => (c.req.path === UPLOAD_PATH ? next() : limitForm(c, next)))
  pages.use(async (c, next) => {
    await next()
    c.header('cache-control', 'no-store')
  })
  pages.route('/', entranceRoutes(place))
  pages.route('/', setupRoutes(place))
  pages.route('/', planRoutes(place))
  pages.route('/', habitRoutes(place))
  pages.route('/', sunRoutes(place))
  pages.route('/', meterRoutes(place))
  pages.route('/', webhookRoutes(place))
  pages.route('/', channelRoutes(place))

  const app = new Hono()
  app.use(headers)
  app.use(async (c, next) => {
    // A key must not travel in clear; a local run has nowhere to travel.
    const { protocol, hostname } = new URL(c.req.url)
    if (protocol === 'http:' && !LOOPBACK.has(hostname))
      return c.redirect(c.req.url.replace(/^http:/, 'https:'), 308)
    return next()
  })
  app.route('/', calendarRoutes(place))
  // What brings a proof of its own needs no cookie, and no form's value.
  app.route('/', answerRoutes(place))
  app.route('/', telegramRoutes(place))
  const api = apiApp(apiTools(place))
  app.all('/api/*', (c) => api.fetch(c.req.raw, env))
  app.get('/openapi.json', (c) => api.fetch(c.req.raw, env))
  app.get('/healthz', (c) => api.fetch(c.req.raw, env))
  app.route('/', pages)
  app.notFound(nowhere)
  app.onError((error, c) => {
    if (error instanceof HouseholdGone) return c.redirect('/', 303)
    // A form from another site, refused by the guard above.
    if (error instanceof HTTPException) return expired(c)
    console.error('page', error.message)
    return broken(c)
  })
  return app
}
