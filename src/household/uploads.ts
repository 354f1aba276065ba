// The files of a household's meter: the one that a question is open about, kept until somebody answers, for a day
// at most; and what was told of the last one that was taken.

import { type Answers, type MeterReading, type Question, readMeter } from '../meter/index.ts'
import { DAY_MS, type Instant } from '../plan/index.ts'
import type { Settings } from '../reminder/index.ts'
import { type MeterReport, type OpenQuestion, type UploadRefusal, textOf } from './meter.ts'
import type { Store } from './store.ts'

const KEPT_OPEN_MS = DAY_MS

type Open = OpenQuestion & { readonly answers: Answers }

/** A file as it is read, with what was answered about it. */
export type File = { readonly bytes: Uint8Array; readonly answers: Answers }

export class Uploads {
  readonly #store: Store

  constructor(store: Store) {
    this.#store = store
  }

  /** What the last file that was taken held, and what it changed. */
  last(): MeterReport | null {
    return this.#parsed<MeterReport>('taken')
  }

  /** The question that waits for an answer. */
  open(now: Instant): OpenQuestion | null {
    const open = this.#open(now)
    return open === null ? null : { question: open.question, at: open.at }
  }

  /** The kept file with an answer to its question; `null` when another question is open by now, or none. */
  answered(about: Question['about'], choice: number, now: Instant): File | null {
    const open = this.#open(now)
    const answer = open?.question.about === about ? open.question.choices[choice] : undefined
    const bytes = answer === undefined ? null : this.#store.pieces.read('upload')
    return open === null || bytes === null
      ? null
      : { bytes, answers: { ...open.answers, ...answer } }
  }

  /** Keeps a file for its question, in the place of any other. */
  keepOpen({ bytes, answers }: File, question: Question, at: Instant): void {
    const open: Open = { question, at, answers }
    this.#store.pieces.write('upload', bytes)
    this.#store.setAside('upload', 'open', JSON.stringify(open))
  }

  /** Lets go of the file that a question is open about. */
  dropOpen(): void {
    if (this.#store.aside('upload', 'open') === null) return
    this.#store.pieces.drop('upload')
    this.#store.dropAside('upload', 'open')
  }

  keepLast(report: MeterReport): void {
    this.#store.setAside('upload', 'taken', JSON.stringify(report))
  }

  dropAll(): void {
    this.dropOpen()
    this.#store.dropAside('upload', 'taken')
  }

  /** Lets go of a file whose question nobody answered in a day. */
  #open(now: Instant): Open | null {
    const open = this.#parsed<Open>('open')
    if (open === null || now < open.at + KEPT_OPEN_MS) return open
    this.dropOpen()
    return null
  }

  #parsed<Value>(id: 'taken' | 'open'): Value | null {
    const body = this.#store.aside('upload', id)
    return body === null ? null : (JSON.parse(body) as Value)
  }
}

/** Reads a file as the household would: by its clock, and its order of day and month. */
export function readFile(
  { bytes, answers }: File,
  { timeZone, dayFirst }: Settings,
): MeterReading | { readonly kind: 'refused'; readonly refusal: UploadRefusal } {
  const text = textOf(bytes)
  return text === null
    ? { kind: 'refused', refusal: { reason: 'packed' } }
    : readMeter(text, { timeZone, dayFirst, answers })
}
