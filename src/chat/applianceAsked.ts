// Whether a message asks what may run in an event: "can I use the kettle?", "tumble dryer?", "what can I run?".

import type { Parts } from '../announcement/index.ts'
import type { ApplianceName } from '../appliances/index.ts'
import type { Intent } from './intent.ts'

type Asked = Extract<Intent, { kind: 'appliance' }>

/** Longer is no question about a kettle. */
const LONGEST = 160

// Some say it by what it is for: "the wash", "boil water". The first that fits counts, so the longer names come first.
const NAMES: readonly (readonly [ApplianceName, RegExp])[] = [
  ['storageHeaters', /\b(?:night )?storage (?:heat\w*|radiators?)\b/],
  [
    'immersionHeater',
    /\b(?:imm?ers?ion(?: heat\w*)?|(?:hot ?)?water (?:heater|tank|boiler)|hot water)\b/,
  ],
  ['electricShower', /\b(?:electric )?shower(?:s|ing)?\b/],
  [
    'tumbleDryer',
    /\b(?:tumbl?er?[- ]?)?(?<!hair )(?<!hair)dr[iy]ers?\b|\btumble ?dr[iy]\w*|\bdry (?:the |my |our )?(?:clothes|laundry|washing)\b/,
  ],
  [
    'dishwasher',
    /\bdi(?:sh|hs)[- ]?(?:wash?[aeh]*rs?|wahsers?)\b|\b(?:do|wash) (?:the |my |our )?dishes\b/,
  ],
  [
    'washingMachine',
    /\bwas?h?ing[- ]?mach?ine?s?\b|\bwashers?\b|\blaundry\b|\b(?:do|put on|start|run) (?:the |a |my |our |some )?wash(?:ing)?\b|\b(?:the|a) wash\b|\bwash (?:the |my |our |some )?clothes\b/,
  ],
  ['vacuum', /\bvacc?uu?m\w{0,5}(?: cleaners?)?\b/],
  ['microwave', /\bmi(?:cro|rco)[- ]?w?[av]{2,3}e?s?\b/],
  [
    'kettle',
    /\bket+(?:le?|el)s?\b|\bboil (?:some |the |a )?(?:water|kettle)\b|\b(?:cup of |make |have )(?:a )?(?:some )?(?:tea|coffee)\b|\bcuppa\b/,
  ],
  ['oven', /\bov+[ae]ns?\b|\b(?:bake|roast)\b/],
  ['hob', /\b(?:hobs?|stoves?|cook(?:er|ers|ing|top)?|hot ?plates?|induction)\b/],
  ['iron', /\biron(?:ing)?\b/],
  ['television', /\b(?:tvs?|telly|tele?vis[si]?i?ons?)\b/],
  ['computer', /\b(?:computers?|laptops?|pcs?)\b/],
  ['electricHeater', /\bheat(?:ers?|ing)\b|\bradiators?\b/],
]

const OTHER =
  /\b(?:appliances?|devices?|things|air fryer|toaster|hair ?dr[iy]er|slow cooker|dehumidifier|fan|lights?|car|ev|heat pump|power tools?|anything|something)\b/

const LEAD = String.raw`^(?:(?:so|and|but|then|also|ok|okay|hi|hello|hey|please|quick question|if|or)[ ,:]+)*`
const WHO = String.raw`(?:i|we|he|she|they|(?:the|my|our) (?:kids|children|wife|husband|son|daughter|mum|mom|mother|dad|father))`
/** Somebody of the household asks; "can you …" is what an announcement says. */
const ASKS = new RegExp(
  `${LEAD}(?:(?:can|could|may|might|should|shall|must|do|will) ${WHO}\\b(?! ask\\b)|(?:is|are|will|would|does|do) (?:it|the|a|an|my|our|using|running)\\b|am i allowed|(?:is it )?(?:ok|okay|safe|alright|all right|fine) to\\b|(?:how|what) about\\b|what if (?:i|we)\\b)`,
)
const WHAT = new RegExp(
  `${LEAD}(?:(?:what|which)(?: \\w+)? (?:can|could|may|should|do) (?:i|we) (?:still )?(?:run|use|have on|switch on|turn on|put on|power|plug in)\\b|what (?:fits|can run|may run)\\b|which (?:appliances|devices|things)\\b)`,
)
const USES = /\b(?:use|using|run|running|put|turn|switch|plug|start|charge|have)\b/

/** Something that is not in the table. */
const USES_ONE =
  /\b(?:use|run|put on|switch on|turn on|plug in) (?:the|my|our|an?) (?!battery|inverter|panel|app|plan|calendar|page|phone|web|grid|meter)/

/** All that may stand beside a name that is a question by itself: "the oven ok in the event". */
const FILLERS =
  /\b(?:the|a|an|my|our|and|or|is|it|ok|okay|fine|safe|allowed|alright|now|on|in|at|during|for|then|today|tonight|tomorrow|event|hold|electric|please|too|also)\b|[^a-z]+/g

const COLD =
  /\b(?:i'm|i am|we're|we are|is|feels?|feeling|getting|gets|it's) (?:so |very |too |really |a bit )?(?:cold|freezing)\b/
const NOT_PEOPLE = /\b(?:battery|inverter|water|fridge|freezer|garage)\b/

/**
 * The appliance that is asked after, or all; `null` where none is. `spoken` is plain and in lower case. What names a span of
 * time is an announcement, with its list of what to switch off, unless it is one question of our own.
 */
export function applianceAsked(spoken: string, { ranges }: Pick<Parts, 'ranges'>): Asked | null {
  if (spoken.length > LONGEST) return null
  const sentences = spoken
    .split(/[.!?;\n]+/)
    .map((each) => each.trim())
    .filter((each) => each !== '')
  const [only = ''] = sentences
  if (sentences.length === 1 && isAlone(only)) return { kind: 'appliance', name: nameIn(only) }
  if (ranges.length > 0) return sentences.length === 1 && ASKS.test(only) ? askedIn(only) : null
  return sentences.map(askedIn).find((each) => each !== null) ?? null
}

function askedIn(sentence: string): Asked | null {
  const asks = sentence.split(/, (?=[a-z])/).some((part) => ASKS.test(part))
  const name = nameIn(sentence)
  if (name !== null && asks) return { kind: 'appliance', name }
  const uses = USES.test(sentence) && OTHER.test(sentence)
  if (WHAT.test(sentence) || (asks && (uses || USES_ONE.test(sentence))))
    return { kind: 'appliance', name: null }
  return COLD.test(sentence) && !NOT_PEOPLE.test(sentence) && !/\d/.test(sentence)
    ? { kind: 'appliance', name: 'electricHeater' }
    : null
}

const nameIn = (sentence: string): ApplianceName | null =>
  NAMES.find(([, pattern]) => pattern.test(sentence))?.[0] ?? null

function isAlone(sentence: string): boolean {
  const pattern = NAMES.find(([, each]) => each.test(sentence))?.[1]
  if (pattern === undefined || /\d/.test(sentence)) return false
  return sentence.replace(pattern, ' ').replaceAll(FILLERS, '') === ''
}
