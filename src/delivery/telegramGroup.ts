// Which of the texts in a chat are for us, and in the words that the conversation understands. The rule:
// 1. With one person, everything. 2. In a group, a command of ours, or one with our name after it; what begins or
// ends with our name; an answer to a message of ours; and what is plainly an answer to a reminder: a figure with a
// per cent sign, a bare one from 10 to 100, "done", "held", "not yet", "in 10". 3. Never a command for another bot.

export type Heard = {
  readonly group: boolean
  /** Our user name, without `@`. */
  readonly botName: string
  readonly repliesToUs: boolean
}

const COMMAND = /^\/([a-z0-9_]{1,32})(?:@(\w+))?(?=\s|$)/i

const OURS = new Set('start|plan|done|held|released|not_yet|later|why|worth|help|stop'.split('|'))

const PLAIN_ANSWER =
  /^(?:(?:\d{1,2}|100)(?:[.,]\d+)?\s*(?:%|per ?cent)|[1-9]\d|100|done|held|released|not yet|later|in \d{1,3}(?: ?min(?:ute)?s?)?|[✅✓✔]\uFE0F?)[.!]?$/i

const same = (a: string, b: string) => a.toLowerCase() === b.toLowerCase()

/** The text for us, commands and our name taken off (`/not_yet@us` is "not yet"); `null` for what is not for us. */
export function saidToUs(text: string, { group, botName, repliesToUs }: Heard): string | null {
  const said = text.trim()
  const [command = '', word = '', to] = COMMAND.exec(said) ?? []
  if (to !== undefined && !same(to, botName)) return null
  if (command !== '' && (!group || to !== undefined || OURS.has(word.toLowerCase())))
    return `${word.replaceAll('_', ' ')} ${said.slice(command.length).trim()}`.trim()
  const named = withoutName(said, botName)
  if (named !== null) return named === '' ? 'help' : named
  return !group || repliesToUs || PLAIN_ANSWER.test(said) ? said || null : null
}

function withoutName(said: string, botName: string): string | null {
  const name = `@${botName}`
  const [first = '', ...others] = said.split(/[\s,:]+/)
  const last = others.at(-1) ?? ''
  if (same(first, name)) return said.slice(name.length).replace(/^[\s,:]+/, '')
  return same(last, name) && said.endsWith(last) ? said.slice(0, -name.length).trimEnd() : null
}
