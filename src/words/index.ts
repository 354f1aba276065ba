export type { Format } from './format.ts'
export { format } from './format.ts'
