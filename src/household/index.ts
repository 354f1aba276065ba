export type { Feed, Performed, Seen } from './object.ts'
export { HouseholdObject } from './object.ts'
export { newId, newKey, parseToken, randomText, tokenText } from './secrets.ts'
