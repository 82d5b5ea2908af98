/** What is said on a concluded test that the record, as it stands today, judges otherwise? */

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Flash } from '../parts/flash.tsx'

export function JudgedAgain(props: { verdict: string }): JSX.Element {
  return (
    <Flash kind="needs-you" lead={say.tests.judgedOtherwiseToday}>
      {say.tests.aReadingAnInstrument(<b>{props.verdict}</b>)}
    </Flash>
  )
}
