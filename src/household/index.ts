export type { Feed, MeterOutcome, MeterSeen, Performed, Seen } from './object.ts'
export type { MeterReport, OpenQuestion, UploadRefusal } from './meter.ts'
export { HouseholdObject } from './object.ts'
export { newId, newKey, parseToken, randomText, tokenText } from './secrets.ts'
