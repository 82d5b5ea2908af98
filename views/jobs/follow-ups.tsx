// Which joints is this job to look at again, and why?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Tag } from '../parts/tag.tsx'

export interface FollowUpsProps {
  jobId: string
  followUps: readonly {
    jointId: string
    tag: string
    place: string
    callbackId: string | null
    /** What was done about it on this job. */
    done: 'checked' | 'made-again' | null
    why: { cause: string } | { label: string; leaks: number; expected: string }
  }[]
}

export function FollowUps({ jobId, followUps }: FollowUpsProps): JSX.Element | null {
  if (followUps.length === 0) return null
  return (
    <section class="sheet" aria-labelledby="look-again">
      <h2 id="look-again">{say.atRisk.lookAgain}</h2>
      <p>{say.atRisk.lookAgainWhy}</p>
      <ul>
        {followUps.map((one) => (
          <li key={one.jointId}>
            <Tag tag={one.tag} href={`/joints/${one.jointId}?job=${jobId}`} />, {one.place}.{' '}
            <b>
              {one.done === null
                ? say.atRisk.notLookedAtYet
                : one.done === 'checked'
                  ? say.atRisk.checkedHere
                  : say.atRisk.madeAgainHere}
            </b>{' '}
            <span class="soft">
              {'cause' in one.why
                ? say.atRisk.becauseCallback(
                    <a href={`/callbacks/${one.callbackId}`}>{say.atRisk.aCallback}</a>,
                    one.why.cause,
                  )
                : say.atRisk.becauseGroup(one.why.label, one.why.leaks, one.why.expected)}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}
