// The conversation: what was said, buttons for what can be answered, and a line to write on.

import type { Instant } from '../../plan/index.ts'
import type { Message } from '../../reminder/index.ts'
import type { Format } from '../../words/index.ts'
import { pageWords } from '../../words/index.ts'
import { timeSeen } from './first-line.tsx'
import { Post } from './form.tsx'

const SHOWN = 12

export const Talk = (props: {
  readonly messages: readonly Message[]
  readonly now: Instant
  readonly f: Format
  readonly csrf: string
}) => {
  const { messages, now, f, csrf } = props
  const words = pageWords.talk
  const lastSaid = messages.findLast((message) => message.from === 'household')?.seq ?? 0
  return (
    <section aria-labelledby="talk">
      <h2 id="talk">{words.heading}</h2>
      {messages.length === 0 ? <p>{words.empty}</p> : null}
      <ol class="talk">
        {messages.slice(-SHOWN).map((message) => (
          <li class={message.from} data-seq={message.seq}>
            <span class="when">
              {words.who(
                message.from === 'household' ? words.you : words.us,
                timeSeen(message.at, now, f),
              )}
            </span>
            <p>{message.text}</p>
            {/* Buttons stay until somebody answers; older ones would answer the wrong question. */}
            {message.seq > lastSaid ? <Buttons message={message} csrf={csrf} /> : null}
          </li>
        ))}
      </ol>
      <Post action="/messages" csrf={csrf} class="say">
        <div class="field">
          <label for="say">{words.label}</label>
          <span class="hint" id="say-hint">
            {words.hint}
          </span>
          <input
            id="say"
            name="text"
            type="text"
            required
            maxlength={2000}
            autocomplete="off"
            placeholder={words.placeholder}
            aria-describedby="say-hint"
          />
        </div>
        <button type="submit">{words.send}</button>
      </Post>
    </section>
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
