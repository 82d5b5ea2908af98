// What can hurt somebody while a section is under pressure, under vacuum, or being opened?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Caution } from '../parts/caution.tsx'

export function BeforePressure(): JSX.Element {
  return (
    <>
      <Caution harm={['oxygen', 'pressure']} comesFirst={false}>
        {say.tests.dryNitrogenOnlyOxygen}
      </Caution>
      <Caution harm="no-air">{say.tests.nitrogenTakesThePlace}</Caution>
    </>
  )
}

export function UnderPressure(): JSX.Element {
  return <Caution harm="pressure">{say.tests.dontTightenLoosenOr}</Caution>
}

export function BeforeVacuum(): JSX.Element {
  return (
    <>
      <Caution harm={['electricity', 'fire']} comesFirst={false}>
        {say.tests.keepTheCompressorOff}
      </Caution>
      <Caution harm="flammable">{say.tests.ifAFlammableRefrigerant}</Caution>
    </>
  )
}
