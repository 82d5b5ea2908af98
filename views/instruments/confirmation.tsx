// How does an instrument stand: confirmed until when, due, or not to be used?

import type { JSX } from 'preact'
import type { Confirmation } from '../../server/http/confirmation.ts'
import { type FindingOutcome, OutcomeMark } from '../parts/mark.tsx'
import { When } from '../parts/when.tsx'

const MARKS: Record<Confirmation['state'], FindingOutcome> = {
  confirmed: 'met',
  'out-of-date': 'open',
  'never-calibrated': 'open',
  'out-of-tolerance': 'failed',
  'not-asked': 'not-applicable',
}

export function ConfirmationState({ confirmation }: { confirmation: Confirmation }): JSX.Element {
  return (
    <span class="standing">
      <OutcomeMark outcome={MARKS[confirmation.state]} />
      <span>{words(confirmation)}</span>
    </span>
  )
}

function words({ state, confirmedUntil, dueSoon, intervalDays }: Confirmation): JSX.Element {
  const until = confirmedUntil === null ? null : <When at={confirmedUntil} show="day" />
  switch (state) {
    case 'confirmed':
      if (intervalDays === 1) return <>Tried on its reference leak today</>
      return (
        <>
          {dueSoon ? 'Due soon: confirmed' : 'Confirmed'} until {until}
        </>
      )
    case 'out-of-date':
      if (intervalDays === 1) return <>To be tried on a reference leak before use</>
      return <>Due: was confirmed until {until}</>
    case 'never-calibrated':
      return intervalDays === 1 ? <>To be tried on a reference leak before use</> : <>Due: never checked</>
    case 'out-of-tolerance':
      return <>Out of tolerance: do not use it</>
    case 'not-asked':
      return <>No check is asked for</>
  }
}
