/** What is said on a concluded test that the record, as it stands today, judges otherwise? */

import type { JSX } from 'preact'
import { Flash } from '../parts/flash.tsx'

export function JudgedAgain(props: { verdict: string }): JSX.Element {
  return (
    <Flash kind="needs-you" lead="Judged otherwise today.">
      A reading, an instrument, the sheet or the policy was changed after this test ended. As the record
      stands now: <b>{props.verdict}</b> The hold points of a job that is not signed off go by this; what is
      below stays as it was judged at the end.
    </Flash>
  )
}
