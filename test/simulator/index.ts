export type { Break } from './breaks.ts'
export { BREAKS } from './breaks.ts'
export type { Outcome } from './world.ts'
export { runSeason } from './world.ts'
