export { converse } from './converse.ts'
export { refusalText } from './refused.ts'
export type { Intent } from './intent.ts'
export { understand } from './understand.ts'
