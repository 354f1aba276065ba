// Whether a text takes an event back or moves it, sentence by sentence. Boilerplate such as `to cancel,
// reply STOP` does neither.

import type { Token } from './tokens.ts'

export type Change = 'new' | 'moved' | 'cancelled'

const DAY_WORD = '(?:\\d|mon|tue|wed|thu|fri|sat|sun|today|tonight|tomorrow)'

const CANCELLED =
  /\b(?:no (?:event|session)s?\b|cancell?ed|called (?:it |this |that )?off|stood down|withdrawn|scrapped|cancellation of|event off\b)/
// `off` and `not running` may be said of the battery as well: then somebody tells what hands did.
const OFF =
  /(?:\b(?:is|are) (?:now )?off\b|'s off\b|\b(?:won't|will not|not|isn't|no longer) (?:be )?(?:going ahead|go ahead|taking place|take place|happening|happen|running|on)\b)/
const OF_AN_EVENT = new RegExp(`\\b(?:events?|sessions?|slots?|this one|that one|${DAY_WORD})`)
const OF_THE_HOUSE =
  /\b(?:battery|batteries|discharge|discharging|charge|charging|panels?|power|inverter|app|switch|wifi|internet|data|account|household|heating|light|lights)\b/
// `the battery event on thursday is off`
const EVENT_OFF =
  /\b(?:event|session)s?(?: (?:on|at|from|to|the|\d{1,4}|[ap]m|today|tonight|tomorrow|(?:mon|tues?|wed|wednes|thur?s?|fri|satu?r?|sun)(?:day)?)){0,8}(?: is| are)?(?: now)? (?:off|not)\b/
// What is none of our events, and yet is cancelled.
const OTHER =
  '(?:data|account|subscription|membership|contract|reminders?|notifications?|alarm|hold|pause|messages?|e?mails?|appointment|order|direct debit)'
const OF_OTHERS = new RegExp(
  `\\b(?:cancel|cancelling|scrap|delete) (?:\\S+ ){0,2}${OTHER}\\b|\\b${OTHER} (?:is|are|was|were|has been|have been) (?:now )?cancell?ed`,
)
const COMMAND =
  /^(?:ok |okay |please |pls |can you |could you )?(?:cancel|cancelling|cancellation|call (?:it |this |that )?off|scrap|delete)\b(?! (?:any|your|at any|up to|before|until|by))/
const NOT_CANCELLED =
  /\b(?:not|isn't|hasn't|never|wasn't|unless|if|may be|can be|could be|might be|unless it is|cannot be|been) (?:it is |it's |been |be |now )?(?:cancell?ed|called off|withdrawn)/
const STATED =
  /\b(?:has|have|had|was|is|are|it's) (?:now )?been (?:cancell?ed|called off|withdrawn)/
const MOVED = new RegExp(
  `\\b(?:moved|move|moves|moving|reschedul(?:e|ed|ing)|postponed?|delayed|brought forward|put back|pushed back|shift(?:ed)? to|changed (?:to|from)|new time|new date|now (?:starts|begins|runs|ends|finishes|start|begin|end|finish)|(?:extend|extended|shortened) (?:it |this |that |the event |the session )?(?:to|until|till|by)|now (?:at |from )?\\d|(?:is|are|will) now (?:be )?(?:at |on |from )?${DAY_WORD}|instead of (?:the )?${DAY_WORD})`,
)
// `change thursday to 18:00-19:00`
const MOVE_COMMAND = new RegExp(
  `^(?:ok |okay |please |pls |can you |could you )?(?:shift|change|push|bring|put)\\b.{1,60}\\bto (?:${DAY_WORD}|next )`,
)
const NOT_MOVED =
  /\b(?:not|hasn't|isn't|can be|may be|if) (?:it is )?(?:been )?(?:moved|postponed|delayed|rescheduled)/

const END_MOVED = /\b(?:extend|extended|shortened|now (?:ends|finishes|end|finish))\b/

/** Whether a sentence that moves an event moves its end alone. */
export const movesEnd = (sentence: string): boolean => END_MOVED.test(sentence)

/** The tokens' sentences as plain words, with their question mark, to be searched for phrases. */
export function sentencesOf(tokens: readonly Token[]): readonly string[] {
  const sentences: string[][] = [[]]
  for (const token of tokens) {
    if (token.text === '?') sentences.at(-1)?.push('?')
    if (token.kind === 'break') sentences.push([])
    else if (token.kind !== 'mark') sentences.at(-1)?.push(token.text)
  }
  return sentences.map((words) => words.join(' '))
}

const INTERROGATIVE = /^(?:is|are|was|were|has|did|does|will|would|when|why|what)\b|\?$/

/** Whether a sentence asks rather than tells; `can you cancel it?` tells. */
export const isAsking = (sentence: string): boolean =>
  INTERROGATIVE.test(sentence) && !COMMAND.test(sentence)

/** What one sentence does. A cancellation counts before a move. */
export function changeOf(sentence: string): Change {
  if (isAsking(sentence)) return 'new'
  const hedged = NOT_CANCELLED.test(sentence) && !STATED.test(sentence)
  const off = OFF.test(sentence) && OF_AN_EVENT.test(sentence)
  const plainlyOff = off && (!OF_THE_HOUSE.test(sentence) || EVENT_OFF.test(sentence))
  const said = COMMAND.test(sentence) || CANCELLED.test(sentence)
  const takenBack = plainlyOff || (said && !OF_OTHERS.test(sentence))
  if (takenBack && !hedged) return 'cancelled'
  return (MOVED.test(sentence) || MOVE_COMMAND.test(sentence)) && !NOT_MOVED.test(sentence)
    ? 'moved'
    : 'new'
}
