export { apiApp } from './app.ts'
export type { HouseholdDoor, Performed, Reply, Seen } from './door.ts'
export type { ApiTools, CreatedHousehold } from './tools.ts'
export { readHousehold } from './settings.ts'
