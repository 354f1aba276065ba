// The frame of every page: head, masthead, main. No inline script or style, so that the content security policy can
// refuse them.

import type { Child } from 'hono/jsx'
import { raw } from 'hono/html'
import { pageWords } from '../../words/index.ts'

export type LayoutProps = {
  readonly title: string
  readonly lang: string
  /** Addresses of scripts on this site. */
  readonly scripts?: readonly string[]
  /** How often live.js asks whether something changed; without it, it does not. */
  readonly pollMs?: number
  readonly revision?: string
  /** A form came back with something wrong: said first in the title, where screen readers begin. */
  readonly wrong?: boolean
  readonly children?: Child
}

/** A whole document, doctype included. */
export function Layout(props: LayoutProps) {
  const { title, lang, scripts = [], pollMs, revision, wrong = false, children } = props
  const whole = pageWords.pageTitle(title)
  return (
    <>
      {raw('<!doctype html>')}
      <html lang={lang}>
        <head>
          <meta charset="utf-8" />
          <meta name="viewport" content="width=device-width, initial-scale=1" />
          <meta name="robots" content="noindex" />
          <meta name="color-scheme" content="light dark" />
          <meta name="theme-color" content="#faf6ec" media="(prefers-color-scheme: light)" />
          <meta name="theme-color" content="#15171b" media="(prefers-color-scheme: dark)" />
          <title>{wrong ? pageWords.errorTitle(whole) : whole}</title>
          <link rel="stylesheet" href="/style.css" />
          <link rel="icon" href="/icon.svg" type="image/svg+xml" />
          <link rel="apple-touch-icon" href="/icon-192.png" />
          <link rel="manifest" href="/manifest.webmanifest" />
          {scripts.map((src) => (
            <script src={src} defer></script>
          ))}
        </head>
        <body data-poll-ms={pollMs}>
          <a class="skip" href="#main">
            {pageWords.skip}
          </a>
          <header class="masthead">
            <a href="/">{pageWords.name}</a>
          </header>
          <p class="status" id="status" role="status"></p>
          <main id="main" tabindex={-1} data-revision={revision}>
            {children}
          </main>
        </body>
      </html>
    </>
  )
}
