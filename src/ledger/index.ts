export { explained } from './explain.ts'
export type { AnyInput, AnyPlan } from './case.ts'
export type { LedgerRow } from './write.ts'
export type { RowId } from './row.ts'
