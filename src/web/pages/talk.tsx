// The conversation: what was said, buttons for what can be answered, and a line to write on.

import type { Child } from 'hono/jsx'
import type { Instant } from '../../plan/index.ts'
import type { Message, Reminder } from '../../reminder/index.ts'
import type { Format } from '../../words/index.ts'
import { pageWords } from '../../words/index.ts'
import { timeSeen } from './first-line.tsx'
import { Post } from './form.tsx'

const SHOWN = 12

/** It asks for nothing by name, or what it asks for was not answered yet. */
const isOpenStill = ({ reminderKey }: Message, reminders: readonly Reminder[]): boolean =>
  reminderKey === null ||
  reminders.some(({ key, state }) => key === reminderKey && state === 'sent')

export const Talk = (props: {
  readonly messages: readonly Message[]
  readonly reminders: readonly Reminder[]
  readonly now: Instant
  readonly f: Format
  readonly csrf: string
}) => {
  const { messages, reminders, now, f, csrf } = props
  const words = pageWords.talk
  const lastSaid = messages.findLast((message) => message.from === 'household')?.seq ?? 0
  // Where the page opens after something was said: at the person's own words, the answer under them.
  const firstAnswer = messages.find((message) => message.seq >= lastSaid)
  return (
    <section class="no-print" aria-labelledby="talk">
      <h2 id="talk">{words.heading}</h2>
      {messages.length === 0 ? <p>{words.empty}</p> : null}
      {messages.length > SHOWN ? (
        <details id="earlier-talk">
          <summary>{words.earlier}</summary>
          <ol class="talk">
            {messages.slice(0, -SHOWN).map((message) => (
              <Said message={message} now={now} f={f} />
            ))}
          </ol>
        </details>
      ) : null}
      <ol class="talk">
        {messages.slice(-SHOWN).map((message) => (
          <Said
            message={message}
            now={now}
            f={f}
            id={message === firstAnswer ? 'latest' : undefined}
          >
            {/* Buttons stay until somebody answers, here or elsewhere; older ones would answer the wrong question. */}
            {message.seq > lastSaid && isOpenStill(message, reminders) ? (
              <Buttons message={message} csrf={csrf} />
            ) : null}
          </Said>
        ))}
      </ol>
      <Post action="/messages" csrf={csrf} class="say">
        <div class="field">
          <label for="say">{words.label}</label>
          <span class="hint" id="say-hint">
            {words.hint}
          </span>
          <textarea
            id="say"
            name="text"
            rows={1}
            required
            maxlength={4000}
            autocomplete="off"
            placeholder={words.placeholder}
            aria-describedby="say-hint"
          ></textarea>
        </div>
        <button type="submit">{words.send}</button>
      </Post>
    </section>
  )
}

const Said = (props: {
  readonly message: Message
  readonly now: Instant
  readonly f: Format
  readonly id?: string | undefined
  readonly children?: Child
}) => {
  const { message, now, f } = props
  const words = pageWords.talk
  const who = message.from === 'household' ? words.you : words.us
  return (
    <li
      class={message.from}
      data-seq={message.seq}
      id={props.id}
      tabindex={props.id === undefined ? undefined : -1}
    >
      <span class="when">{words.who(who, timeSeen(message.at, now, f))}</span>
      <p>{message.text}</p>
      {props.children}
    </li>
  )
}

const Buttons = ({ message, csrf }: { readonly message: Message; readonly csrf: string }) =>
  message.buttons.length === 0 ? null : (
    <div class="tries">
      {message.buttons.map(({ label, send }) => (
        <Post action="/messages" csrf={csrf}>
          <input type="hidden" name="text" value={send} />
          <button type="submit">{label}</button>
        </Post>
      ))}
    </div>
  )
