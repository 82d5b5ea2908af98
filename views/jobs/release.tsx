// What holds this job, and who may do what about it: submit, concede, send back, sign off, reopen?

import type { JSX } from 'preact'
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
      <h2>{props.held === 0 ? 'Nothing holds this job' : 'What holds this job'}</h2>
      <FindingList findings={props.findings} level={3} />
      {may.submit ? (
        <form method="post" action={`/jobs/${jobId}/submit`} id="submit-job">
          {props.held > 0 && props.allAskable ? (
            <p class="hint">
              What is left can be conceded. Say why beside each; the manager answers every request.
            </p>
          ) : null}
          {props.held > 0 && !props.allAskable ? (
            <p class="hint">Finish what is open above; then the job can go to audit.</p>
          ) : (
            <Button>Submit for audit</Button>
          )}
        </form>
      ) : null}
      {may.signOff ? (
        <form method="post" action={`/jobs/${jobId}/sign-off`}>
          <p class="hint">
            Signing off seals the job and issues the certificate. It is your company's statement on its own
            work.
          </p>
          {props.held > 0 ? (
            <p class="hint">Answer what is open above first.</p>
          ) : (
            <Button>Sign off and seal</Button>
          )}
        </form>
      ) : null}
      {props.notBecause === null ? null : <p class="hint">{props.notBecause}</p>}
      {may.sendBack ? (
        <details open={form?.values._form === 'send-back'}>
          <summary>Send back to the technician</summary>
          <form method="post" action={`/jobs/${jobId}/send-back`}>
            <input type="hidden" name="_form" value="send-back" />
            <AreaField
              name="reason"
              label="What needs another look"
              form={form?.values._form === 'send-back' ? form : undefined}
            />
            <Button kind="refuse">Send back</Button>
          </form>
        </details>
      ) : null}
      {may.reopen ? (
        <details open={form?.values._form === 'reopen'}>
          <summary>Reopen this job</summary>
          <form method="post" action={`/jobs/${jobId}/reopen`}>
            <input type="hidden" name="_form" value="reopen" />
            <AreaField
              name="reason"
              label="Why it is reopened"
              hint="The certificate then counts as superseded, and says so to anyone who checks it."
              form={form?.values._form === 'reopen' ? form : undefined}
            />
            <Button kind="refuse">Reopen</Button>
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
      Ask for a concession, because
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
      <summary>Concede</summary>
      <form
        method="post"
        action={`/jobs/${props.jobId}/concessions${props.from ? `?from=${props.from}` : ''}`}
      >
        <input type="hidden" name="id" value={props.id} />
        <input type="hidden" name="requirement" value={props.requirement} />
        <input type="hidden" name="subjectId" value={props.subjectId} />
        <label>
          Reason, printed on the certificate
          <input type="text" name="reason" required maxlength={500} />
        </label>
        <Button kind="other">Grant this concession</Button>
      </form>
    </details>
  )
}
