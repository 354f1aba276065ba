// A browser with a household of its own: cookies kept, forms sent with the page's own value.

import { env } from 'cloudflare:workers'
import type { Env } from '../../src/env.ts'
import { webApp } from '../../src/web/app.tsx'

export const ORIGIN = 'https://holdbell.example'
export const ZONE = 'America/Halifax'

export type Page = { readonly status: number; readonly to: string | null; readonly text: string }

/** `own`: what is bound to this worker besides. */
export async function browser(own: Partial<Env> = {}) {
  const app = webApp({ ...(env as unknown as Env), ...own }, new URL(ORIGIN))
  const cookies = new Map<string, string>()
  const visit = async (
    path: string,
    body?: Record<string, string> | BodyInit,
    more: Record<string, string> = {},
  ): Promise<Page> => {
    const plain = typeof body === 'object' && Object.getPrototypeOf(body) === Object.prototype
    const sent = plain ? new URLSearchParams(body as Record<string, string>) : (body as BodyInit)
    const answer = await app.request(ORIGIN + path, {
      ...(sent === undefined ? {} : { method: 'POST', body: sent }),
      headers: {
        cookie: [...cookies].map((pair) => pair.join('=')).join('; '),
        origin: ORIGIN,
        ...more,
      },
    })
    for (const line of answer.headers.getSetCookie()) {
      const [, name = '', value = ''] = /^([^=]+)=([^;]*)/.exec(line) ?? []
      cookies.set(name, value)
    }
    return { status: answer.status, to: answer.headers.get('location'), text: await answer.text() }
  }
  /** The value that a page's forms carry. */
  const keyOn = async (path: string) =>
    / name="csrf" value="([^"]+)"/.exec((await visit(path)).text)?.[1] ?? ''
  /** Sends a form of the page at `on`, by default the page that it is sent to. */
  const send = async (path: string, fields: Record<string, string>, on = path) =>
    visit(path, { csrf: await keyOn(on), ...fields })
  await send('/setup', { capacityKwh: '9.6', timeZone: ZONE, medical: 'no' })
  return { visit, keyOn, send }
}
