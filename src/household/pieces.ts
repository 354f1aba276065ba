// Large bytes of a household, each in rows of its own: cut into pieces, because a row holds at most 2 MB. The table
// is made when something is first kept, so that a household without meter data has none.

/** The meter's half-hours, the days that come of them, and a file that a question is open about. */
export type Kept = 'series' | 'days' | 'upload'

const PIECE_BYTES = 1024 * 1024

const SCHEMA = `CREATE TABLE IF NOT EXISTS piece (
  name TEXT NOT NULL, place INTEGER NOT NULL, body BLOB NOT NULL,
  PRIMARY KEY (name, place)
) STRICT`

export class Pieces {
  readonly #sql: SqlStorage

  constructor(sql: SqlStorage) {
    this.#sql = sql
  }

  /** The bytes, whole; `null` where none are kept. */
  read(name: Kept): Uint8Array | null {
    if (!this.#isThere()) return null
    const bodies = this.#sql
      .exec<{ body: ArrayBuffer }>('SELECT body FROM piece WHERE name = ? ORDER BY place', name)
      .toArray()
      .map(({ body }) => new Uint8Array(body))
    if (bodies.length === 0) return null
    const whole = new Uint8Array(bodies.reduce((sum, { length }) => sum + length, 0))
    let at = 0
    for (const body of bodies) {
      whole.set(body, at)
      at += body.length
    }
    return whole
  }

  /** Keeps the bytes in the place of what was kept under the name. To be called within a transaction. */
  write(name: Kept, bytes: Uint8Array): void {
    this.#sql.exec(SCHEMA)
    const count = Math.max(1, Math.ceil(bytes.length / PIECE_BYTES))
    for (let place = 0; place < count; place += 1)
      this.#sql.exec(
        `INSERT INTO piece (name, place, body) VALUES (?, ?, ?)
         ON CONFLICT (name, place) DO UPDATE SET body = excluded.body`,
        name,
        place,
        bytes.slice(place * PIECE_BYTES, (place + 1) * PIECE_BYTES).buffer,
      )
    this.#sql.exec('DELETE FROM piece WHERE name = ? AND place >= ?', name, count)
  }

  drop(name: Kept): void {
    if (this.#isThere()) this.#sql.exec('DELETE FROM piece WHERE name = ?', name)
  }

  #isThere(): boolean {
    return this.#sql.exec("SELECT 1 FROM sqlite_master WHERE name = 'piece'").toArray().length > 0
  }
}
