// Calls to the server from outside. One that is cut off by a kill has no answer.

export type CallHooks = { sent(): void; confirmed(): void }

export type Call = {
  readonly method: 'GET' | 'POST' | 'PATCH' | 'DELETE'
  readonly path: string
  readonly headers?: Readonly<Record<string, string>>
  readonly body?: string
}

export type Reply = { readonly status: number; readonly text: string; readonly location: string }

export const JSON_TYPE = { 'content-type': 'application/json' }

/** Makes calls, and tells of each that it was sent. `null`: no answer came. */
export class Caller {
  readonly #url: string
  readonly #hooks: CallHooks

  constructor(url: string, hooks: CallHooks) {
    this.#url = url
    this.#hooks = hooks
  }

  async call({ method, path, headers = {}, body }: Call): Promise<Reply | null> {
    try {
      const answering = fetch(new URL(path, this.#url), {
        method,
        headers: { ...headers, connection: 'close' },
        redirect: 'manual',
        signal: AbortSignal.timeout(10_000),
        ...(body === undefined ? {} : { body }),
      })
      this.#hooks.sent()
      const answer = await answering
      const text = await answer.text()
      return { status: answer.status, text, location: answer.headers.get('location') ?? '' }
    } catch {
      return null
    }
  }

  confirmed(): void {
    this.#hooks.confirmed()
  }
}
