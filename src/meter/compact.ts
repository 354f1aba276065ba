// Years of intervals in few bytes: two for each, in one row of a database. Bytes in, bytes out; no storage here.

import { MINUTE_MS, asInstant } from '../plan/index.ts'
import type { Interval, Series } from './types.ts'

// Layout, little-endian: form (1 byte), minutes (1), Wh per unit (2), start in minutes since 1970 (4), then for each
// interval a signed 16-bit figure, or NONE where it is missing.
const FORM = 1
const HEADER_BYTES = 8
const NONE = -32_768
const MOST = 32_767

/**
 * Two bytes for each interval from the first to the last, gaps included. Whole Wh are kept exactly up to 32.767 kWh
 * in an interval; beyond that the whole series is kept in steps of 2 Wh, or 3, and so on. At half-hours a year takes 35 KB.
 */
export function compact({ minutes, intervals }: Series): Uint8Array {
  const first = intervals[0]
  const last = intervals.at(-1)
  if (first === undefined || last === undefined) return new Uint8Array(0)
  const length = minutes * MINUTE_MS
  const count = Math.round((last.start - first.start) / length) + 1
  const largest = intervals.reduce((most, { wh }) => Math.max(most, Math.abs(wh)), 0)
  const step = Math.max(1, Math.ceil(largest / MOST))
  const bytes = new Uint8Array(HEADER_BYTES + 2 * count)
  const view = new DataView(bytes.buffer)
  view.setUint8(0, FORM)
  view.setUint8(1, minutes)
  view.setUint16(2, step, true)
  view.setUint32(4, first.start / MINUTE_MS, true)
  for (let i = 0; i < count; i += 1) view.setInt16(HEADER_BYTES + 2 * i, NONE, true)
  for (const { start, wh } of intervals) {
    const place = Math.round((start - first.start) / length)
    view.setInt16(HEADER_BYTES + 2 * place, Math.round(wh / step), true)
  }
  return bytes
}

/** The series that `compact` kept; throws a RangeError on bytes that it did not write. */
export function expand(bytes: Uint8Array): Series {
  if (bytes.length === 0) return { minutes: 30, intervals: [] }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (bytes.length < HEADER_BYTES || bytes.length % 2 !== 0 || view.getUint8(0) !== FORM)
    throw new RangeError(`Cannot expand ${bytes.length} bytes that compact did not write`)
  const minutes = view.getUint8(1)
  const step = view.getUint16(2, true)
  const first = view.getUint32(4, true)
  const intervals: Interval[] = []
  for (let at = HEADER_BYTES; at < bytes.length; at += 2) {
    const figure = view.getInt16(at, true)
    if (figure === NONE) continue
    const place = (at - HEADER_BYTES) / 2
    intervals.push({ start: asInstant((first + place * minutes) * MINUTE_MS), wh: figure * step })
  }
  return { minutes, intervals }
}
