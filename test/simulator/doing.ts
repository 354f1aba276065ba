// What everybody in a season does with: the household's door, the time, and chance.

import type { Command, Household } from '../../src/reminder/index.ts'
import type { Platform } from './platform.ts'
import type { Chance } from './random.ts'
import type { Season } from './season.ts'
import type { Shell } from './shell.ts'
import type { Trace } from './trace.ts'
import { MINUTE_MS } from '../../src/plan/index.ts'

const MOST_TRIES = 7

export class Doing {
  readonly season: Season
  readonly platform: Platform
  readonly shell: Shell
  readonly chance: Chance
  readonly trace: Trace

  constructor(season: Season, platform: Platform, shell: Shell, chance: Chance, trace: Trace) {
    this.season = season
    this.platform = platform
    this.shell = shell
    this.chance = chance
    this.trace = trace
  }

  note(text: string): void {
    this.trace.add(this.platform.now, text)
  }

  /** Wants something of the household and comes back until it is done. */
  persist(
    what: string,
    command: (household: Household) => Command | null,
    done: () => void = () => {},
    tries = MOST_TRIES,
  ): void {
    this.note(`${what}${tries < MOST_TRIES ? ' (again)' : ''}`)
    if (this.shell.perform(command)) done()
    else if (tries > 1)
      this.platform.after(this.chance.wait(3 * MINUTE_MS), () =>
        this.persist(what, command, done, tries - 1),
      )
  }

  every(waitMs: () => number, run: () => void): void {
    this.platform.after(waitMs(), () => {
      run()
      this.every(waitMs, run)
    })
  }
}
