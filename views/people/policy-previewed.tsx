// What would these criteria have said of the jobs of late?

import type { JSX } from 'preact'
import type { Outcome, RequirementCode } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { outcomeWords } from '../parts/mark.tsx'
import { When } from '../parts/when.tsx'

interface Change {
  requirement: RequirementCode
  title: string
  subject: { id: string; name: string }
  before: Outcome
  after: Outcome
  reasonAfter: string
}

export interface PolicyPreviewProps {
  since: number
  total: number
  from: number
  judged: number
  changed: number
  newlyHeld: number
  newlyReleased: number
  requirements: readonly {
    requirement: RequirementCode
    title: string
    held: number
    released: number
    other: number
  }[]
  jobs: readonly {
    jobId: string
    reference: string | null
    customerName: string
    at: number
    heldBefore: boolean
    heldAfter: boolean
    changes: readonly Change[]
  }[]
  nextHref?: string | undefined
}

export function PolicyPreviewed(props: PolicyPreviewProps): JSX.Element {
  const { total, from, judged, changed, newlyHeld, newlyReleased, requirements, jobs, nextHref } = props
  const words = say.policyPreview
  const more =
    nextHref === undefined ? null : (
      <p>
        <a href={nextHref}>{words.judgeTheNext(total - from - judged)}</a>
      </p>
    )
  return (
    <section class="sheet" id="preview">
      <h2>{words.whatWouldChange}</h2>
      <p>
        {judged === total
          ? words.ofTheJobs(total, changed, <When at={props.since} show="day" />)
          : words.ofTheseJobs(from + 1, from + judged, total, changed, <When at={props.since} show="day" />)}
      </p>
      {changed === 0 ? null : (
        <p>
          <strong>{words.wouldBeHeld(newlyHeld)}</strong> {words.wouldBeReleased(newlyReleased)}
        </p>
      )}
      <p class="why">{words.howItIsJudged}</p>
      {requirements.length === 0 ? null : (
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{words.requirement}</th>
              <th scope="col">{words.moreHeld}</th>
              <th scope="col">{words.moreReleased}</th>
              <th scope="col">{words.otherwise}</th>
            </tr>
          </thead>
          <tbody>
            {requirements.map((row) => (
              <tr key={row.requirement}>
                <th scope="row">
                  <a href={`/requirements/${row.requirement}`}>{row.title}</a>
                </th>
                <td data-label={words.moreHeld}>{row.held}</td>
                <td data-label={words.moreReleased}>{row.released}</td>
                <td data-label={words.otherwise}>{row.other}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {jobs.map((job) => (
        <details key={job.jobId}>
          <summary>
            <span>
              {job.customerName}
              {job.reference === null ? '' : `, ${job.reference}`} · <When at={job.at} show="day" /> ·{' '}
              {job.heldAfter === job.heldBefore
                ? words.changes(job.changes.length)
                : job.heldAfter
                  ? words.wouldWait
                  : words.wouldPass}
            </span>
          </summary>
          <ul>
            {job.changes.map((change) => (
              <li key={`${change.requirement} ${change.subject.id}`}>
                <strong>{change.title}</strong>, {change.subject.name}
                <br />
                {words.nowThen(outcomeWords()[change.before], outcomeWords()[change.after])}
                <p class="why">{change.reasonAfter}</p>
              </li>
            ))}
          </ul>
          <p>
            <a href={`/jobs/${job.jobId}`}>{words.openTheJob}</a>
          </p>
        </details>
      ))}
      {more}
    </section>
  )
}
