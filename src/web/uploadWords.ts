// Why a meter's file was not taken, in words: what its reading says, and what only the household can tell.

import type { UploadRefusal } from '../household/index.ts'
import { sayRefusal } from '../meter/index.ts'
import { type Format, meterPageWords } from '../words/index.ts'

export function refusalSentence(refusal: UploadRefusal, f: Format): string {
  switch (refusal.reason) {
    case 'packed':
      return meterPageWords.refused.packed
    case 'ahead':
      return meterPageWords.refused.ahead(f.day(refusal.from))
    case 'too_old':
      return meterPageWords.refused.tooOld(refusal.years)
    default:
      return sayRefusal(refusal)
  }
}
