// How does an instrument stand: confirmed until when, due, or not to be used?

import type { JSX } from 'preact'
import type { Confirmation } from '../../server/http/confirmation.ts'
import { say } from '../../server/words/say.ts'
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
      if (intervalDays === 1) return <>{say.instruments.triedOnItsReference}</>
      return (
        <>
          {say.instruments.until(dueSoon ? say.instruments.dueSoonConfirmed : say.instruments.confirmed)}{' '}
          {until}
        </>
      )
    case 'out-of-date':
      if (intervalDays === 1) return <>{say.instruments.toBeTriedOn}</>
      return (
        <>
          {say.instruments.dueWasConfirmedUntil} {until}
        </>
      )
    case 'never-calibrated':
      return <>{intervalDays === 1 ? say.instruments.toBeTriedOn : say.instruments.dueNeverChecked}</>
    case 'out-of-tolerance':
      return <>{say.instruments.outOfToleranceDo}</>
    case 'not-asked':
      return <>{say.instruments.noCheckIsAsked}</>
  }
}
