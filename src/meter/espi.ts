// Green Button XML (NAESB REQ.21, ESPI 4.0) to its parts: usage points, meter readings, reading types and interval
// blocks, each with the links of its Atom entry. How they belong together is another question (greenButton.ts).
// The parser streams, expands no entities but XML's own five, and a document type or deep nesting ends it.

import { SaxesParser } from 'saxes'
import { DEEPEST_XML } from './limits.ts'
import { type Step, excerpt, refuseFile } from './stop.ts'
import type { MeterRefusal } from './types.ts'

const ESPI = 'http://naesb.org/espi'
const ATOM = 'http://www.w3.org/2005/Atom'

/** Times are epoch seconds (ESPI's TimeType), values raw, before the reading type's multiplier. */
export type EspiReading = {
  readonly start: number | null
  readonly seconds: number | null
  readonly value: number | null
  readonly qualities: readonly number[]
}

export type EspiBlock = {
  readonly start: number | null
  readonly seconds: number | null
  readonly readings: readonly EspiReading[]
}

export type EspiReadingType = Readonly<
  Record<
    | 'accumulationBehaviour'
    | 'commodity'
    | 'defaultQuality'
    | 'flowDirection'
    | 'intervalLength'
    | 'powerOfTenMultiplier'
    | 'uom',
    number | null
  >
>

export type EspiEntry = {
  readonly self: string
  readonly up: string
  readonly related: readonly string[]
  readonly title: string
  /** ServiceCategory.kind: 0 electricity, 1 gas. */
  readonly usagePoint: { readonly service: number | null } | null
  readonly isMeterReading: boolean
  readonly readingType: EspiReadingType | null
  readonly blocks: readonly EspiBlock[]
}

type Node = { readonly uri: string; readonly name: string; text: string; children: Node[] }

type Draft = { -readonly [K in keyof EspiEntry]: EspiEntry[K] } & {
  related: string[]
  blocks: EspiBlock[]
}

const draft = (): Draft => ({
  self: '',
  up: '',
  related: [],
  title: '',
  usagePoint: null,
  isMeterReading: false,
  readingType: null,
  blocks: [],
})

/** The entries of a document, in order. */
export function readEspi(text: string): Step<readonly EspiEntry[]> {
  const parser = new SaxesParser({ xmlns: true })
  const entries: Draft[] = [draft()]
  const open: Node[] = []
  let readings: EspiReading[] = []
  let refusal: MeterRefusal | null = null
  const give = (why: MeterRefusal): never => {
    refusal = why
    throw new SyntaxError(why.reason)
  }
  const damaged = (evidence: string): never =>
    give({ reason: 'damaged', line: parser.line, evidence: excerpt(evidence) })

  parser.on('error', (error) => damaged(error.message.replace(/^\d+:\d+: /, '')))
  parser.on('doctype', () => damaged('<!DOCTYPE'))
  parser.on('opentag', ({ uri, local, attributes }) => {
    if (open.length === 0 && uri !== ESPI && uri !== ATOM)
      give({ reason: 'other_xml', root: excerpt(local) })
    if (open.length >= DEEPEST_XML) damaged(`<${local}>`)
    if (uri === ATOM && local === 'entry') entries.push(draft())
    if (uri === ATOM && local === 'link')
      link(entries.at(-1), attributes['rel']?.value ?? '', attributes['href']?.value ?? '')
    open.push({ uri, name: local, text: '', children: [] })
  })
  parser.on('text', (piece) => append(open.at(-1), piece))
  parser.on('cdata', (piece) => append(open.at(-1), piece))
  parser.on('closetag', () => {
    const node = open.pop()
    const parent = open.at(-1)
    const entry = entries.at(-1)
    if (node === undefined || entry === undefined) return
    if (node.uri === ATOM) {
      if (node.name === 'title' && parent?.name === 'entry') entry.title = excerpt(node.text)
    } else if (node.uri !== ESPI) return
    else if (node.name === 'IntervalReading') readings.push(readingOf(node))
    else if (node.name === 'IntervalBlock') {
      const span = spanIn(node, 'interval')
      entry.blocks.push({ ...span, readings })
      readings = []
    } else if (node.name === 'MeterReading') entry.isMeterReading = true
    else if (node.name === 'UsagePoint')
      entry.usagePoint = { service: numberIn(child(node, 'ServiceCategory'), 'kind') }
    else if (node.name === 'ReadingType') entry.readingType = typeOf(node)
    else parent?.children.push(node)
  })
  try {
    parser.write(text).close()
  } catch (error) {
    if (refusal === null) throw error
    return refuseFile(refusal)
  }
  return { ok: true, value: entries }
}

function append(node: Node | undefined, piece: string): void {
  if (node !== undefined && node.text.length < 500) node.text += piece
}

function link(entry: Draft | undefined, rel: string, href: string): void {
  const address = href.replace(/\/$/, '')
  if (entry === undefined || address === '') return
  if (rel === 'self') entry.self = address
  else if (rel === 'up') entry.up = address
  else if (rel === 'related') entry.related.push(address)
}

const child = (node: Node | undefined, name: string): Node | undefined =>
  node?.children.find((each) => each.name === name)

function numberOf(node: Node | undefined): number | null {
  const text = node?.text.trim() ?? ''
  return /^[-+]?\d{1,15}(?:\.\d{1,9})?$/.test(text) ? Number(text) : null
}

const numberIn = (node: Node | undefined, name: string): number | null =>
  numberOf(child(node, name))

const spanIn = (node: Node, name: string) => ({
  start: numberIn(child(node, name), 'start'),
  seconds: numberIn(child(node, name), 'duration'),
})

const readingOf = (node: Node): EspiReading => ({
  ...spanIn(node, 'timePeriod'),
  value: numberIn(node, 'value'),
  qualities: node.children
    .filter(({ name }) => name === 'ReadingQuality')
    .map((quality) => numberIn(quality, 'quality'))
    .filter((quality) => quality !== null),
})

const typeOf = (node: Node): EspiReadingType => ({
  accumulationBehaviour: numberIn(node, 'accumulationBehaviour'),
  commodity: numberIn(node, 'commodity'),
  defaultQuality: numberIn(node, 'defaultQuality'),
  flowDirection: numberIn(node, 'flowDirection'),
  intervalLength: numberIn(node, 'intervalLength'),
  powerOfTenMultiplier: numberIn(node, 'powerOfTenMultiplier'),
  uom: numberIn(node, 'uom'),
})
