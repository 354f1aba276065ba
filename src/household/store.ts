// A household in its object's SQLite: one table of parts, each a small JSON body, and past days apart. Saving writes only the
// parts that changed, in one transaction, since rows written are what a household costs (no index besides the key).

import type { PastDay } from '../plan/index.ts'
import { type Household, type MeterHistory, NO_HABITS } from '../reminder/index.ts'
import { packDays, unpackDays } from './days.ts'
import { Pieces } from './pieces.ts'

/** Kinds of parts beside the household's own value: digests of its secrets, its rendered feed, where it is served, a clock of its own, what was told of a meter's file. */
export type Aside = 'secret' | 'feed' | 'address' | 'clock' | 'upload'

type Days = readonly PastDay[] | null
type Row = { kind: string; id: string; body: string }

const SCHEMA = `CREATE TABLE IF NOT EXISTS part (
  kind TEXT NOT NULL, id TEXT NOT NULL, place INTEGER NOT NULL, body TEXT NOT NULL,
  PRIMARY KEY (kind, id)
) STRICT, WITHOUT ROWID`

/** The form of the bodies, kept with each household, so that a later form can tell and bring it forward. Form 1 had no habits, form 2 no channels. */
const VERSION = 3

export class Store {
  readonly pieces: Pieces
  readonly #storage: DurableObjectStorage
  #saved = new Map<string, Row>()
  /** Past days are many, and change only with an upload: compared as a whole. */
  #savedDays: Days = null
  #place = 0

  constructor(storage: DurableObjectStorage) {
    this.#storage = storage
    this.pieces = new Pieces(storage.sql)
  }

  /** The household; `null` where none was made. Asking an object that was never used writes nothing. */
  load(): Household | null {
    const sql = this.#storage.sql
    const made = sql.exec("SELECT 1 FROM sqlite_master WHERE name = 'part'").toArray().length > 0
    if (!made) return null
    const rows = sql
      .exec<Row & { place: number }>('SELECT kind, id, place, body FROM part ORDER BY place')
      .toArray()
    this.#saved = new Map(rows.map(({ kind, id, body }) => [keyOf(kind, id), { kind, id, body }]))
    this.#place = rows.at(-1)?.place ?? 0
    const packed = this.pieces.read('days')
    this.#savedDays = packed === null ? null : unpackDays(packed)
    return assemble(rows, this.#savedDays ?? [])
  }

  /** Makes the table: once, before the first save. */
  create(): void {
    this.#storage.sql.exec(SCHEMA)
  }

  /** Saves the household, and what is kept with it: all of the change or nothing. */
  save(household: Household, withIt: () => void = () => {}): void {
    const days = household.meter?.days ?? null
    const wanted = new Map(partsOf(household).map((row) => [keyOf(row.kind, row.id), row]))
    this.#storage.transactionSync(() => {
      for (const [key, row] of wanted) if (this.#saved.get(key)?.body !== row.body) this.#write(row)
      for (const [key, { kind, id }] of this.#saved)
        if (!wanted.has(key) && !isAside(kind)) this.#delete(kind, id)
      if (days !== this.#savedDays) this.#writeDays(days)
      withIt()
    })
    const asides = [...this.#saved].filter(([, { kind }]) => isAside(kind))
    this.#saved = new Map([...asides, ...wanted])
    this.#savedDays = days
  }

  aside(kind: Aside, id: string): string | null {
    return this.#saved.get(keyOf(kind, id))?.body ?? null
  }

  setAside(kind: Aside, id: string, body: string): void {
    this.#write({ kind, id, body })
    this.#saved.set(keyOf(kind, id), { kind, id, body })
  }

  dropAside(kind: Aside, id: string): void {
    if (this.#saved.delete(keyOf(kind, id))) this.#delete(kind, id)
  }

  #writeDays(days: Days): void {
    if (days === null) this.pieces.drop('days')
    else this.pieces.write('days', packDays(days))
  }

  #delete(kind: string, id: string): void {
    this.#storage.sql.exec('DELETE FROM part WHERE kind = ? AND id = ?', kind, id)
  }

  #write({ kind, id, body }: Row): void {
    this.#place += 1
    this.#storage.sql.exec(
      `INSERT INTO part (kind, id, place, body) VALUES (?, ?, ?, ?)
       ON CONFLICT (kind, id) DO UPDATE SET body = excluded.body`,
      kind,
      id,
      this.#place,
      body,
    )
  }
}

const keyOf = (kind: string, id: string): string => `${kind} ${id}`

const ASIDES: ReadonlySet<string> = new Set<Aside>(['secret', 'feed', 'address', 'clock', 'upload'])

const isAside = (kind: string): boolean => ASIDES.has(kind)

const part = (kind: string, key: string | number, value: unknown): Row => ({
  kind,
  id: String(key),
  body: JSON.stringify(value, keepLimits),
})

function partsOf(household: Household): readonly Row[] {
  const { id, revision, plan, settings, meter } = household
  return [
    part('household', 'it', { version: VERSION, id, revision }),
    part('settings', 'it', settings),
    part('plan', 'it', plan),
    ...(meter === null ? [] : [part('meter', 'it', { ...meter, days: undefined })]),
    ...household.events.map((each) => part('event', each.id, each)),
    ...household.readings.map((each) => part('reading', `${each.at} ${each.reckoned}`, each)),
    ...household.reminders.map((each) => part('reminder', each.key, each)),
    ...household.messages.map((each) => part('message', each.seq, each)),
    ...household.deliveries.map((each) => part('delivery', each.id, each)),
    part('channels', 'them', household.channels),
  ]
}

function assemble(rows: readonly Row[], days: readonly PastDay[]): Household | null {
  const bodies = (kind: string) =>
    rows.filter((row) => row.kind === kind).map((row) => JSON.parse(row.body, readLimits))
  const [head] = bodies('household') as { id: string; revision: number }[]
  const [settings] = bodies('settings') as Household['settings'][]
  const [meter] = bodies('meter') as Omit<MeterHistory, 'days'>[]
  if (head === undefined || settings === undefined) return null
  return {
    id: head.id,
    revision: head.revision,
    settings: { ...NO_HABITS, ...settings },
    plan: (bodies('plan')[0] as Household['plan'] | undefined) ?? null,
    events: bodies('event') as Household['events'],
    readings: bodies('reading') as Household['readings'],
    meter: meter === undefined ? null : { ...meter, days },
    reminders: bodies('reminder').map((each) => ({ missedBecause: null, ...each })),
    messages: bodies('message') as Household['messages'],
    deliveries: bodies('delivery').map((each) => ({ ...OLD_DELIVERY, ...each })),
    channels: (bodies('channels')[0] ?? []) as Household['channels'],
  }
}

// What deliveries of form 2 did not say.
const OLD_DELIVERY = { purpose: 'ask', acceptedAt: null, handle: null, doubtful: false }

// JSON has no infinity, and "no limit" is one.
const LIMITS = new Set(['maxDischargeKw', 'maxChargeKw'])
const keepLimits = (key: string, value: unknown): unknown =>
  LIMITS.has(key) && value === Infinity ? 'no limit' : value
const readLimits = (key: string, value: unknown): unknown =>
  LIMITS.has(key) && value === 'no limit' ? Infinity : value
