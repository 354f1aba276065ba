// The calendar feed: read-only, by a secret of its own. Polls are answered from the edge's cache where it has the
// feed, so that a calendar's many questions do not wake the household.

import { Hono } from 'hono'
import { etagMatches } from '../../calendar/index.ts'
import type { Place } from '../place.ts'

/** How long the edge and the reader may keep it, s: a plan seldom changes faster, and the feed is a display. */
const KEEP_S = 60

export function calendarRoutes({ households }: Place): Hono {
  return new Hono().get('/calendar/:file', async (c) => {
    const token = /^(.*)\.ics$/.exec(c.req.param('file'))?.[1]
    if (token === undefined) return c.notFound()
    const asked = c.req.header('if-none-match') ?? null
    const cache = caches.default
    // A key that no query or header can vary; the cache is this worker's own.
    const key = new URL(c.req.path, c.req.url).href
    const kept = await cache.match(key)
    if (kept !== undefined) return answer(kept, asked)
    const feed = await households.feed(token)
    if (feed === null) return c.notFound()
    const fresh = new Response(feed.text, {
      headers: {
        'content-type': 'text/calendar; charset=utf-8',
        'content-disposition': 'inline; filename="holdbell.ics"',
        'cache-control': `public, max-age=${KEEP_S}`,
        etag: feed.etag,
      },
    })
    c.executionCtx.waitUntil(cache.put(key, fresh.clone()))
    return answer(fresh, asked)
  })
}

/** 304 with the same fields that the 200 would have had (RFC 9110 §15.4.5). */
function answer(feed: Response, asked: string | null): Response {
  const headers = new Headers(feed.headers)
  // Only the reader's own copy: the address is a secret, and a shared cache on the way is not ours.
  headers.set('cache-control', `private, max-age=${KEEP_S}`)
  return etagMatches(asked, headers.get('etag') ?? '')
    ? new Response(null, { status: 304, headers })
    : new Response(feed.body, { headers })
}
