// What fits and what does not, in sentences.

import { applianceWords as words } from '../words/index.ts'
import { type Fit, type Room, leftKw, overKw } from './room.ts'

/** The sentences in the order in which they are to be read, without the cautions; those are in the words. */
export function sayRoom(room: Room, fits: readonly Fit[]): readonly string[] {
  const fitting = fits.filter(({ fits: whole }) => whole)
  const tooMuch = fitting.filter(({ enough }) => enough === false)
  // Where nothing is left, everything draws all of its power from the grid: said once.
  const over = leftKw(room) === 0 ? [] : fits.filter(({ fits: whole }) => !whole)
  return [
    sayLeft(room),
    ...(fitting.length === 0 || room.limitKw === Infinity
      ? []
      : [words.fit(fitting.map(withPower))]),
    ...(over.length === 0 ? [] : [sayFromGrid(over)]),
    ...(tooMuch.length === 0 ? [] : [sayNotEnough(room.aboveReserveKwh ?? 0, tooMuch)]),
  ]
}

/** Less than this is as good as nothing, kWh. */
const NOTHING_KWH = 0.05

const sayNotEnough = (above: number, fits: readonly Fit[]): string =>
  above < NOTHING_KWH
    ? words.nothingAbove
    : words.notEnough(
        words.kwh(above),
        fits.map(({ appliance }) => words.name[appliance.name]),
      )

/** What one cycle costs; `length` is its duration in words. */
export const sayCycle = ({ appliance, cycleKwh, cyclePct }: Fit, length: string): string =>
  words.cycle(words.name[appliance.name], length, words.kwh(cycleKwh), words.share(cyclePct))

function sayLeft(room: Room): string {
  const { limitKw, backgroundKw } = room
  const background = words.kw(backgroundKw)
  if (limitKw === Infinity) return words.noLimit
  const limit = words.kw(limitKw)
  if (overKw(room) > 0) return words.over(background, limit, words.kw(overKw(room)))
  const left = leftKw(room)
  return left === 0 ? words.full(background, limit) : words.room(background, limit, words.kw(left))
}

function sayFromGrid(over: readonly Fit[]): string {
  const figures = over.map(
    ({ appliance, kw, fromGridKw }) =>
      [words.name[appliance.name], words.kw(kw), words.kw(fromGridKw)] as const,
  )
  const [only] = figures
  return only !== undefined && figures.length === 1
    ? words.fromGrid(...only)
    : words.fromGridEach(figures.map((figure) => words.shareFromGrid(...figure)))
}

const withPower = ({ appliance, kw }: Fit): string =>
  words.withPower(words.name[appliance.name], words.kw(kw))
