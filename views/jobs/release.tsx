// What holds this job, and who may do what about it: submit, concede, send back, sign off, reopen?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'
import { AreaField, type FormState } from '../parts/field.tsx'
import { type FindingItem, FindingList } from '../parts/finding-list.tsx'

export interface ReleaseProps {
  jobId: string
  findings: readonly FindingItem[]
  held: number
  /** Whether every held finding may be conceded, and so asked for. */
  allAskable: boolean
  may: { submit: boolean; sendBack: boolean; signOff: boolean; reopen: boolean }
  /** Why it can't be signed off by this person, where it is just that. */
  notBecause: string | null
  form?: FormState | undefined
}

export function Release(props: ReleaseProps): JSX.Element {
  const { jobId, may, form } = props
  return (
    <section class="sheet" id="hold-points">
      <h2>{props.held === 0 ? say.jobs.nothingHoldsThisJob : say.jobs.whatHoldsThisJob}</h2>
      <FindingList findings={props.findings} level={3} />
      {may.submit ? (
        <form method="post" action={`/jobs/${jobId}/submit`} id="submit-job">
          {props.held > 0 && props.allAskable ? <p class="hint">{say.jobs.whatIsLeftCan}</p> : null}
          {props.held > 0 && !props.allAskable ? (
            <p class="hint">{say.jobs.finishWhatIsOpen}</p>
          ) : (
            <Button>{say.jobs.submitForAudit}</Button>
          )}
        </form>
      ) : null}
      {may.signOff ? (
        <form method="post" action={`/jobs/${jobId}/sign-off`}>
          <p class="hint">{say.jobs.signingOffSealsThe}</p>
          {props.held > 0 ? (
            <p class="hint">{say.jobs.answerWhatIsOpen}</p>
          ) : (
            <Button>{say.jobs.signOffAndSeal}</Button>
          )}
        </form>
      ) : null}
      {props.notBecause === null ? null : <p class="hint">{props.notBecause}</p>}
      {may.sendBack ? (
        <details open={form?.values._form === 'send-back'}>
          <summary>{say.jobs.sendBackToThe}</summary>
          <form method="post" action={`/jobs/${jobId}/send-back`}>
            <input type="hidden" name="_form" value="send-back" />
            <AreaField
              name="reason"
              label={say.jobs.whatNeedsAnotherLook}
              form={form?.values._form === 'send-back' ? form : undefined}
            />
            <Button kind="refuse">{say.jobs.sendBack}</Button>
          </form>
        </details>
      ) : null}
      {may.reopen ? (
        <details open={form?.values._form === 'reopen'}>
          <summary>{say.jobs.reopenThisJob}</summary>
          <form method="post" action={`/jobs/${jobId}/reopen`}>
            <input type="hidden" name="_form" value="reopen" />
            <AreaField
              name="reason"
              label={say.jobs.whyItIsReopened}
              hint={say.jobs.theCertificateThenCounts}
              form={form?.values._form === 'reopen' ? form : undefined}
            />
            <Button kind="refuse">{say.jobs.reopen}</Button>
          </form>
        </details>
      ) : null}
    </section>
  )
}

/** Beside a finding that may be conceded: the technician says why, and it goes out with the submission. */
export function RequestConcession(props: { name: string; value: string }): JSX.Element {
  return (
    <label class="concession">
      {say.jobs.askForAConcession}
      <input form="submit-job" type="text" name={props.name} value={props.value} maxlength={500} />
    </label>
  )
}

/** Beside a finding that may be conceded: the manager releases it with a reason. */
export function GrantConcession(props: {
  jobId: string
  id: string
  requirement: string
  subjectId: string
  /** The page to come back to, where that is not the job's. */
  from?: 'audit' | undefined
}): JSX.Element {
  return (
    <details>
      <summary>{say.jobs.concede}</summary>
      <form
        method="post"
        action={`/jobs/${props.jobId}/concessions${props.from ? `?from=${props.from}` : ''}`}
      >
        <input type="hidden" name="id" value={props.id} />
        <input type="hidden" name="requirement" value={props.requirement} />
        <input type="hidden" name="subjectId" value={props.subjectId} />
        <label>
          {say.jobs.reasonPrintedOnThe}
          <input type="text" name="reason" required maxlength={500} />
        </label>
        <label>
          {say.concessions.conditions}
          <input type="text" name="conditions" maxlength={500} />
        </label>
        <Button kind="other">{say.jobs.grantThisConcession}</Button>
      </form>
    </details>
  )
}
