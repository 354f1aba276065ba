// What a killed server left on the disk, read from a copy, by SQLite alone: nothing of ours looks at it, and no visit
// wakes anything.

import { copyFileSync, existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { DatabaseSync } from 'node:sqlite'
import type { Household } from '../../../src/reminder/index.ts'

export type Left = Pick<
  Household,
  'id' | 'events' | 'readings' | 'reminders' | 'deliveries' | 'messages' | 'channels'
> & {
  /** When its alarm is to ring, real ms; `null` where none is set. */
  readonly alarm: number | null
}

const FOLDER = 'v3/do/holdbell-HouseholdObject'

/** All households of a state folder that nobody is using. */
export function leftIn(state: string): readonly Left[] {
  const folder = join(state, FOLDER)
  if (!existsSync(folder)) return []
  const copy = mkdtempSync(join(tmpdir(), 'holdbell-left-'))
  try {
    for (const file of readdirSync(folder))
      if (/\.sqlite(-wal)?$/.test(file)) copyFileSync(join(folder, file), join(copy, file))
    const alarms = alarmsIn(join(copy, 'metadata.sqlite'))
    return readdirSync(copy)
      .filter((file) => file.endsWith('.sqlite') && file !== 'metadata.sqlite')
      .map((file) => householdIn(join(copy, file), alarms.get(basename(file, '.sqlite')) ?? null))
      .filter((each) => each !== null)
  } finally {
    rmSync(copy, { recursive: true, force: true })
  }
}

function rowsOf<Row>(file: string, table: string, query: string): readonly Row[] {
  const database = new DatabaseSync(file)
  try {
    const there = database.prepare('SELECT 1 FROM sqlite_master WHERE name = ?').get(table)
    return there === undefined ? [] : (database.prepare(query).all() as Row[])
  } finally {
    database.close()
  }
}

type Alarm = { actor: string; at: number }

// The platform keeps them in nanoseconds, more than a number holds.
const ALARMS = 'SELECT actor_id AS actor, scheduled_time / 1000000 AS at FROM _cf_ALARM'

const alarmsIn = (file: string): ReadonlyMap<string, number> =>
  new Map(rowsOf<Alarm>(file, '_cf_ALARM', ALARMS).map(({ actor, at }) => [actor, at]))

type Part = { kind: string; id: string; body: string }

const PARTS = 'SELECT kind, id, body FROM part ORDER BY place'

function householdIn(file: string, alarm: number | null): Left | null {
  const rows = rowsOf<Part>(file, 'part', PARTS)
  const bodies = <Body>(kind: string) =>
    rows.filter((row) => row.kind === kind).map((row) => JSON.parse(row.body) as Body)
  const [head] = bodies<{ id: string }>('household')
  if (head === undefined) return null
  return {
    id: head.id,
    events: bodies('event'),
    readings: bodies('reading'),
    reminders: bodies('reminder'),
    deliveries: bodies('delivery'),
    messages: bodies('message'),
    channels: bodies<Left['channels']>('channels')[0] ?? [],
    alarm,
  }
}
