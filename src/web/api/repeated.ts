// Finds a name that stands twice in one object. JSON.parse keeps the last one in silence (RFC 8259 §4
// leaves it open), and a plan from half of what was meant is worse than a refusal.

type Frame = { readonly names: Set<string> | null; at: string | number }

// A whole string, or one mark of structure; numbers and words hold neither.
const TOKEN = /"[^"\\]*(?:\\.[^"\\]*)*"|[{}[\],:]/g

/** The path of the first repeated name in a text that is valid JSON; `null` when there is none. */
export function repeatedName(json: string): (string | number)[] | null {
  const frames: Frame[] = []
  let text = ''
  for (const [token] of json.matchAll(TOKEN)) {
    const frame = frames.at(-1)
    if (token === '{') frames.push({ names: new Set(), at: '' })
    else if (token === '[') frames.push({ names: null, at: 0 })
    else if (token === '}' || token === ']') frames.pop()
    else if (token === ',') {
      if (typeof frame?.at === 'number') frame.at += 1
    } else if (token === ':') {
      if (frame === undefined) continue
      frame.at = JSON.parse(text) as string
      if (frame.names?.has(frame.at)) return frames.map(({ at }) => at)
      frame.names?.add(frame.at)
    } else text = token
  }
  return null
}
