export { apiApp } from './app.ts'
export type { Command, CommandRefusal, HouseholdDoor, Reply } from './door.ts'
export type { ApiTools, CreatedHousehold } from './tools.ts'
export { readHousehold } from './settings.ts'
