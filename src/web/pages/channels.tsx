// Who is told, by which way, and how each way did last time. Works without a script, but for notifications to the browser.

import type { Instant } from '../../plan/index.ts'
import type { ChannelKind, Household, HouseholdChannel } from '../../reminder/index.ts'
import { type Format, format, channelsPageWords as words } from '../../words/index.ts'
import { AddForms, type AddFormsProps } from './channelForms.tsx'
import { Checkbox, type FieldError, Post } from './form.tsx'
import { HabitPage } from './habitPage.tsx'
import { WebhookPart } from './webhookPart.tsx'

/** Which channels can be used at this installation. The others always can. */
export type SetUp = {
  /** The key that a browser subscribes with. */
  readonly push: string | null
  readonly telegram: boolean
  readonly mail: boolean
}

export type ChannelsPageProps = Omit<AddFormsProps, 'household'> & {
  readonly household: Household
  readonly now: Instant
  readonly errors: readonly FieldError[]
  /** What came of what was just done. */
  readonly said: string | null
}

export function ChannelsPage(props: ChannelsPageProps) {
  const { household, now, setUp, errors, said, csrf, typed } = props
  const { language, timeZone, webhook } = household.settings
  const f = format(language, timeZone)
  const groups = peopleTold(household)
  return (
    <HabitPage words={words} errors={errors} saved={said} lang={language} scripts={['/push.js']}>
      <p>{words.why}</p>
      <p class="hint">{words.page}</p>
      {groups.length === 0 ? <p class="notice">{words.nobody}</p> : null}
      {groups.map(({ person, channels }) => (
        <section>
          <h2>{words.waysOf(person)}</h2>
          <ol class="plain ways">
            {channels.map((channel, i) => (
              <Way {...{ channel, now, f, setUp, csrf }} first={i === 0} />
            ))}
          </ol>
        </section>
      ))}
      <AddForms {...props} />
      <WebhookPart {...{ household, webhook, now, f, csrf, errors, typed }} />
    </HabitPage>
  )
}

/** The ways of each person, in the order in which people and their ways are turned to. */
export function peopleTold({ settings, channels }: Household) {
  const names = [
    ...settings.people.map(({ name }) => name),
    ...channels.map(({ person }) => person),
  ]
  return [...new Set(names)]
    .map((person) => ({ person, channels: channels.filter((each) => each.person === person) }))
    .filter((group) => group.channels.length > 0)
}

export const isSetUp = (setUp: SetUp, kind: ChannelKind): boolean =>
  kind === 'push' ? setUp.push !== null : kind === 'publish' || kind === 'webhook' || setUp[kind]

const Way = (props: {
  readonly channel: HouseholdChannel
  readonly first: boolean
  readonly now: Instant
  readonly f: Format
  readonly setUp: SetUp
  readonly csrf: string
}) => {
  const { channel, first, now, f, setUp, csrf } = props
  const { id, person, label, target, state, last } = channel
  const usable = isSetUp(setUp, target.kind)
  const where = leadsTo(channel)
  const gone = state === 'off' && last?.outcome === 'gone'
  const button = (action: string, text: string) => (
    <Post action={`/channels/${id}/${action}`} csrf={csrf}>
      <button type="submit">
        {text} <span class="unseen">{words.about(person, label)}</span>
      </button>
    </Post>
  )
  return (
    <li id={id}>
      {nameOf(channel)}
      <br />
      <span class="when">
        {where === null ? null : `${where} `}
        {usable ? lastLine(channel, now, f) : words.last.notSetUp}
      </span>
      <div class="tries">
        {usable && state === 'on' ? button('test', words.test) : null}
        {usable && state === 'waiting' ? button('confirm', words.confirmAgain) : null}
        {first || state === 'off' ? null : button('first', words.first)}
        {state === 'on' ? button('off', words.turnOff) : null}
        {usable && state === 'off' && !gone ? button('on', words.turnOn) : null}
      </div>
      <details>
        <summary>
          {words.remove} <span class="unseen">{words.about(person, label)}</span>
        </summary>
        <Post action={`/channels/${id}/remove`} csrf={csrf}>
          <Checkbox
            id={`sure-${id}`}
            name="sure"
            label={words.removeSure(label)}
            checked={false}
            required
          />
          <button type="submit">{words.removeNow}</button>
        </Post>
      </details>
    </li>
  )
}

const kindName = ({ target }: HouseholdChannel): string =>
  target.kind === 'telegram' && target.group ? words.kind.group : words.kind[target.kind]

/** As it is called, and what it is, where that does not say so. */
function nameOf(channel: HouseholdChannel): string {
  const kind = kindName(channel)
  return kind.endsWith(channel.label) ? channel.label : words.labelled(channel.label, kind)
}

/** Where it goes. A browser's address and a topic's token are as good as keys, and are not shown. */
function leadsTo({ target }: HouseholdChannel): string | null {
  switch (target.kind) {
    case 'mail':
      return words.leadsTo(target.address)
    case 'publish':
      return words.leadsToTopic(new URL(target.server).host, target.topic)
    case 'push':
      return words.leadsTo(new URL(target.endpoint).host)
    case 'telegram':
      return null
  }
}

/** How it did the last time, in words. */
export function lastLine({ state, last }: HouseholdChannel, now: Instant, f: Format): string {
  const say = words.last
  if (state === 'waiting') return say.waiting
  if (state === 'off') return last?.outcome === 'gone' ? say.gone : say.off
  if (last === null) return say.never
  const today = f.isoDay(last.at) === f.isoDay(now)
  const [day, time] = [f.shortDay(last.at), f.time(last.at)]
  if (last.outcome === 'delivered') return today ? say.delivered(time) : say.deliveredOn(day, time)
  return today ? say.failed(time) : say.failedOn(day, time)
}
