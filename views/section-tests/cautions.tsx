// What can hurt somebody while a section is under pressure, under vacuum, or being opened?

import type { JSX } from 'preact'
import { Caution } from '../parts/caution.tsx'

export function BeforePressure(): JSX.Element {
  return (
    <>
      <Caution harm={['oxygen', 'pressure']} comesFirst={false}>
        Dry nitrogen only. Oxygen or compressed air with oil in the lines explodes. Back the regulator off
        before you open the cylinder, fit a relief device, and secure the cylinder upright. Go up in stages,
        stay to the side of the gauge, and stop below what the plate allows.
      </Caution>
      <Caution harm="no-air">
        Nitrogen takes the place of air without a smell: keep the room open, and don’t work alone in a pit or
        a closed room.
      </Caution>
    </>
  )
}

export function UnderPressure(): JSX.Element {
  return (
    <Caution harm="pressure">
      Don’t tighten, loosen or knock a joint while it is under test pressure: release it first. Don’t walk
      away from it where others can get at it.
    </Caution>
  )
}

export function BeforeVacuum(): JSX.Element {
  return (
    <>
      <Caution harm={['electricity', 'fire']} comesFirst={false}>
        Keep the compressor off while the lines are under vacuum: it can burn out and arc inside.
      </Caution>
      <Caution harm="flammable">
        If a flammable refrigerant was in these lines, no flame, switch or spark near the pump’s outlet, and
        lead its exhaust outdoors.
      </Caution>
    </>
  )
}
