// What fits in the event: appliances under the inverter's limit beside the evening use, and what one go of each takes. Closed until it
// is asked for.

import { besideBackground, sayCycle, sayRoom } from '../../appliances/index.ts'
import { roomOf } from '../../chat/index.ts'
import type { Instant } from '../../plan/index.ts'
import type { Household } from '../../reminder/index.ts'
import type { Format } from '../../words/index.ts'
import { applianceWords as words, pageWords } from '../../words/index.ts'

export const Appliances = (props: {
  readonly household: Household
  readonly now: Instant
  readonly f: Format
}) => {
  const { household, now, f } = props
  const room = roomOf(household, now)
  const fits = besideBackground(room)
  const lengthOf = ({ appliance: { cycle } }: (typeof fits)[number]) =>
    f.duration(cycle.reduce((sum, { minutes }) => sum + minutes, 0) / 60)
  return (
    <details id="appliances">
      <summary>{words.heading}</summary>
      <p>
        <strong>{words.first}</strong>
      </p>
      {sayRoom(room, fits).map((each) => (
        <p>{each}</p>
      ))}
      {room.limitKw === Infinity ? (
        <p>
          {words.whereLimit} <a href="/settings">{pageWords.more.settings}</a>
        </p>
      ) : null}
      <p>{words.started}</p>
      <details>
        <summary>{words.goes}</summary>
        <ul class="plain">
          {fits.map((fit) => (
            <li>{sayCycle(fit, lengthOf(fit))}</li>
          ))}
        </ul>
      </details>
      <p class="hint">{words.typical}</p>
      <p class="hint">{words.source}</p>
    </details>
  )
}
