// Places words so that none covers another, none is cut by a line, and none leaves the picture.
// Widths are estimates on the wide side: the server does not know the reader's font.

export type Box = {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

export type Segment = {
  readonly x1: number
  readonly y1: number
  readonly x2: number
  readonly y2: number
}

/** The room that a text takes, in the picture's units. */
export const textWidth = (text: string, size: number): number => text.length * size * 0.6

export const overlap = (a: Box, b: Box): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom

/** Whether the segment passes through the box (clipping after Liang and Barsky, 1984). */
export function cuts({ x1, y1, x2, y2 }: Segment, box: Box): boolean {
  const dx = x2 - x1
  const dy = y2 - y1
  let enter = 0
  let leave = 1
  for (const [p, q] of [
    [-dx, x1 - box.left],
    [dx, box.right - x1],
    [-dy, y1 - box.top],
    [dy, box.bottom - y1],
  ] as const) {
    if (p === 0 && q < 0) return false
    if (p < 0) enter = Math.max(enter, q / p)
    if (p > 0) leave = Math.min(leave, q / p)
  }
  return enter <= leave
}

/** The first candidate that is inside the picture and clear of everything drawn; `null` when none is. */
export function freePlace(
  candidates: readonly Box[],
  inside: Box,
  boxes: readonly Box[],
  segments: readonly Segment[],
): Box | null {
  return (
    candidates.find(
      (box) =>
        box.left >= inside.left &&
        box.right <= inside.right &&
        box.top >= inside.top &&
        box.bottom <= inside.bottom &&
        !boxes.some((other) => overlap(box, other)) &&
        !segments.some((segment) => cuts(segment, box)),
    ) ?? null
  )
}

export type Flag = {
  /** Where its staff stands. */
  readonly x: number
  readonly width: number
  /** The first to be left out when there is no room has the highest. */
  readonly rank: number
}

export type PlacedFlag<F extends Flag> = {
  readonly flag: F
  readonly side: 'left' | 'right'
  readonly left: number
  readonly right: number
  /** 0 is the lane nearest to the curve; a staff passes through all the lanes under its own. */
  readonly lane: number
}

type Extent = { readonly left: number; readonly right: number }

// Between a staff and its own words, and between words and another's staff.
const GAP = 4
const MOST_FLAGS = 9

/**
 * Gives every flag a side of its staff and a lane, in as few lanes as will do, such that no staff passes through words and no words
 * overlap. Flags for which there is no place are left out, by rank.
 */
export function placeFlags<F extends Flag>(flags: readonly F[], inside: Extent): PlacedFlag<F>[] {
  const byRank = flags.toSorted((a, b) => a.rank - b.rank).slice(0, MOST_FLAGS)
  const shown = byRank.toSorted((a, b) => a.x - b.x)
  if (shown.length === 0) return []
  let best: PlacedFlag<F>[] | null = null
  for (let choice = 0; choice < 2 ** shown.length; choice += 1) {
    const placed = laneAll(shown, choice, inside)
    if (placed !== null && (best === null || height(placed) < height(best))) best = placed
  }
  return best ?? placeFlags(byRank.slice(0, -1), inside)
}

const height = (placed: readonly PlacedFlag<Flag>[]): number =>
  Math.max(...placed.map((each) => each.lane))

/** One bit of `choice` for each flag: 0 is words to the left. `null` when a flag does not fit or staffs and words cross whatever the lanes. */
function laneAll<F extends Flag>(
  flags: readonly F[],
  choice: number,
  inside: Extent,
): PlacedFlag<F>[] | null {
  const sided = flags.map((flag, index) =>
    (choice >> index) & 1
      ? { flag, side: 'right' as const, left: flag.x + GAP, right: flag.x + GAP + flag.width }
      : { flag, side: 'left' as const, left: flag.x - GAP - flag.width, right: flag.x - GAP },
  )
  if (sided.some((each) => each.left < inside.left || each.right > inside.right)) return null
  const placed: PlacedFlag<F>[] = []
  let waiting = sided
  while (waiting.length > 0) {
    // Words go above every staff that stands under them, so those flags are placed first.
    const next = waiting.find(
      (one) => !waiting.some((other) => other !== one && covers(one, other.flag.x)),
    )
    if (next === undefined) return null
    const under = placed.filter((each) => covers(next, each.flag.x) || overlaps(next, each))
    const lane = Math.max(-1, ...under.map((each) => each.lane)) + 1
    placed.push({ ...next, lane })
    waiting = waiting.filter((each) => each !== next)
  }
  return placed
}

const covers = (words: Extent, x: number): boolean => words.left - GAP < x && x < words.right + GAP

const overlaps = (a: Extent, b: Extent): boolean => a.left < b.right + GAP && b.left < a.right + GAP
