// Every address of the API in one table: what the description is generated from, what 405 answers
// with, and what the test compares with the routes really mounted.

import type * as z from 'zod'
import * as answers from './schemas/answers.ts'
import * as household from './schemas/household.ts'
import { METER_TYPES, MeterAnswers } from './schemas/meter.ts'
import { PlanRequest } from './schemas/plan.ts'

export type Operation = {
  readonly method: 'get' | 'post' | 'patch' | 'delete'
  /** As Hono writes it: `/api/events/:id`. */
  readonly path: string
  readonly summary: string
  readonly secured: boolean
  readonly request?: z.ZodType
  /** A body that is no JSON: its media types. */
  readonly files?: readonly string[]
  readonly query?: z.ZodObject
  /** The media type of an answer that is no JSON. */
  readonly file?: string
  /** Whether the body may be left out. */
  readonly bodyOptional?: boolean
  readonly answers: Readonly<Record<number, z.ZodType | null>>
  readonly problems: readonly number[]
}

const unreadable = [400, 413, 415] as const

export const operations: readonly Operation[] = [
  {
    method: 'post',
    path: '/api/plan',
    summary: 'When to hold and when to release, from what is in the request alone',
    secured: false,
    request: PlanRequest,
    answers: { 200: answers.PlanAnswer },
    problems: [...unreadable, 422],
  },
  {
    method: 'post',
    path: '/api/households',
    summary: 'Make a household; its secrets are shown this once',
    secured: false,
    request: household.NewHousehold,
    answers: { 201: answers.CreatedAnswer },
    problems: [...unreadable, 422],
  },
  {
    method: 'get',
    path: '/api/household',
    summary: 'All that is kept of the household: its export',
    secured: true,
    answers: { 200: answers.HouseholdAnswer },
    problems: [401],
  },
  {
    method: 'patch',
    path: '/api/household',
    summary: 'Change settings',
    secured: true,
    request: household.SettingsChange,
    answers: { 200: answers.ChangedHouseholdAnswer },
    problems: [...unreadable, 401, 422],
  },
  {
    method: 'delete',
    path: '/api/household',
    summary: 'Delete the household and everything of it at once',
    secured: true,
    answers: { 204: null },
    problems: [401],
  },
  {
    method: 'post',
    path: '/api/events',
    summary: 'Announce an event, by its times or in words',
    secured: true,
    request: household.Announcement,
    answers: { 200: answers.ReadAnswer, 201: answers.EventAnswer },
    problems: [...unreadable, 401, 422],
  },
  {
    method: 'patch',
    path: '/api/events/:id',
    summary: 'Move an event',
    secured: true,
    request: household.EventChange,
    answers: { 200: answers.EventAnswer },
    problems: [...unreadable, 401, 404, 422],
  },
  {
    method: 'delete',
    path: '/api/events/:id',
    summary: 'Cancel an event',
    secured: true,
    answers: { 200: answers.EventAnswer },
    problems: [401, 404, 422],
  },
  {
    method: 'post',
    path: '/api/readings',
    summary: 'Report a reading; answers with the new plan',
    secured: true,
    request: household.NewReading,
    answers: { 200: answers.HouseholdPlanAnswer },
    problems: [...unreadable, 401, 422],
  },
  {
    method: 'get',
    path: '/api/meter',
    summary: 'The readings that are kept, as half-hours: CSV that can be taken in again',
    secured: true,
    answers: { 200: null },
    file: 'text/csv',
    problems: [401, 404],
  },
  {
    method: 'post',
    path: '/api/meter',
    summary: "Take in a meter's interval data: CSV or Green Button XML, at most 5 MiB",
    secured: true,
    files: METER_TYPES,
    query: MeterAnswers,
    answers: { 200: answers.MeterAnswer },
    problems: [...unreadable, 401, 409, 422],
  },
  {
    method: 'delete',
    path: '/api/meter',
    summary: 'Forget all meter data',
    secured: true,
    answers: { 204: null },
    problems: [401],
  },
  {
    method: 'post',
    path: '/api/messages',
    summary: 'Do what a chat message would do',
    secured: true,
    request: household.NewMessage,
    answers: { 200: answers.RepliesAnswer },
    problems: [...unreadable, 401],
  },
  {
    method: 'get',
    path: '/api/reminders',
    summary: 'The reminders, past and coming',
    secured: true,
    answers: { 200: answers.RemindersAnswer },
    problems: [401],
  },
  {
    method: 'post',
    path: '/api/reminders/:key/acknowledge',
    summary: 'Say that it is done',
    secured: true,
    request: household.Acknowledgement,
    bodyOptional: true,
    answers: { 200: answers.ReminderAnswer },
    problems: [...unreadable, 401, 404, 422],
  },
  {
    method: 'post',
    path: '/api/reminders/:key/snooze',
    summary: 'Be reminded again later',
    secured: true,
    request: household.Snooze,
    answers: { 200: answers.ReminderAnswer },
    problems: [...unreadable, 401, 404, 422],
  },
  {
    method: 'get',
    path: '/openapi.json',
    summary: 'This description',
    secured: false,
    answers: { 200: answers.DescriptionAnswer },
    problems: [],
  },
  {
    method: 'get',
    path: '/healthz',
    summary: 'Whether it is up, and which version',
    secured: false,
    answers: { 200: answers.HealthAnswer },
    problems: [],
  },
]
