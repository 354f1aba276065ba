// A browser of one person, in place of a phone: real pages, a real service worker, real notifications. What a browser's own
// push service would do, which is out of reach here, is stood in for: handing out a subscription, and bringing a push
// (through the DevTools protocol). A tap on a notification is an event made by hand.

import type { Browser, BrowserContext, CDPSession, Page, Worker } from 'playwright-core'
import type { Subscriber } from './pushService.ts'

export type Notice = {
  readonly title: string
  readonly body: string
  readonly tag: string
  readonly silent: boolean
  readonly requireInteraction: boolean
  readonly actions: readonly { readonly action: string; readonly title: string }[]
}

export type PhoneOptions = {
  /** What subscribing gives; without, the browser's own way, which leads nowhere here. */
  readonly subscriber?: Subscriber
  /** Whether notifications may be shown. */
  readonly allowed?: boolean
  readonly lacks?: 'PushManager'
  readonly userAgent?: string
}

export class Phone {
  readonly page: Page
  readonly #context: BrowserContext
  readonly #devTools: CDPSession
  readonly #registration: Promise<string>

  private constructor(context: BrowserContext, page: Page, devTools: CDPSession) {
    this.#context = context
    this.page = page
    this.#devTools = devTools
    this.#registration = new Promise((found) =>
      devTools.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => {
        const [first] = registrations
        if (first !== undefined) found(first.registrationId)
      }),
    )
  }

  static async open(browser: Browser, origin: string, options: PhoneOptions): Promise<Phone> {
    const { subscriber = null, allowed = true, lacks, ...looks } = options
    const context = await browser.newContext(looks)
    if (allowed) await context.grantPermissions(['notifications'], { origin })
    if (subscriber !== null) await context.addInitScript({ content: subscribing(subscriber) })
    if (lacks !== undefined) await context.addInitScript({ content: `delete window.${lacks}` })
    const page = await context.newPage()
    const devTools = await context.newCDPSession(page)
    const phone = new Phone(context, page, devTools)
    await devTools.send('ServiceWorker.enable')
    return phone
  }

  /** From the next page on the browser has another subscription, as browsers do in silence. */
  async change(subscriber: Subscriber): Promise<void> {
    await this.#context.addInitScript({ content: subscribing(subscriber) })
  }

  /** Why the page cannot be installed; that this browser keeps nothing is the test's own doing. */
  async notInstallable(): Promise<readonly string[]> {
    const { installabilityErrors } = await this.#devTools.send('Page.getInstallabilityErrors')
    const { errors } = await this.#devTools.send('Page.getAppManifest')
    return [
      ...installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== 'in-incognito'),
      ...errors.map(({ message }) => message),
    ]
  }

  /** Brings a push, as the browser has it once it is opened. */
  async deliver(text: string): Promise<void> {
    await this.#devTools.send('ServiceWorker.deliverPushMessage', {
      origin: new URL(this.page.url()).origin,
      registrationId: await this.#registration,
      data: text,
    })
  }

  notices(): Promise<readonly Notice[]> {
    return this.page.evaluate(`navigator.serviceWorker.ready
      .then((registration) => registration.getNotifications())
      .then((all) => all.map(({ title, body, tag, silent, requireInteraction, actions }) =>
        ({ title, body, tag, silent, requireInteraction,
           actions: actions.map(({ action, title }) => ({ action, title })) })))`)
  }

  /** Taps a button of a notification; the work that begins goes on. */
  async tap(tag: string, action: string): Promise<void> {
    const worker = await this.#worker()
    await worker.evaluate(`self.registration.getNotifications({ tag: '${tag}' }).then(([notification]) => {
      const event = new NotificationEvent('notificationclick', { notification, action: '${action}' })
      // Not for events made by hand.
      Object.defineProperty(event, 'waitUntil', { value: () => undefined })
      self.dispatchEvent(event)
    })`)
  }

  async #worker(): Promise<Worker> {
    return this.#context.serviceWorkers()[0] ?? this.#context.waitForEvent('serviceworker')
  }
}

// What was asked for is kept where the test can look.
const subscribing = ({ endpoint, keys }: Subscriber) => `
  PushManager.prototype.subscribe = async (how) => {
    localStorage.setItem('asked', JSON.stringify(how))
    const given = ${JSON.stringify({ endpoint, keys })}
    return { ...given, toJSON: () => given }
  }`
