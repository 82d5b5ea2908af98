// What is asked to be let go, and what does a manager need to see to answer it?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { RegisterTabs } from '../nonconformities/index.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { AreaField, type FormState, OtherErrors } from '../parts/field.tsx'
import { type FindingItem, FindingList } from '../parts/finding-list.tsx'
import { PhotoGrid, type ShownPhoto } from '../parts/photos.tsx'
import { When } from '../parts/when.tsx'

export interface RequestToAnswer {
  id: string
  freshId: string
  subject: string
  reason: string
  who: string
  at: number
  job: { id: string; reference: string | null }
  site: { customerName: string; address: string }
  /** As it stands now; null where the job asks it no more. */
  finding: FindingItem | null
  photos: readonly ShownPhoto[]
  before: {
    granted: number
    refused: number
    last: readonly {
      id: string
      jobId: string
      reference: string | null
      granted: boolean
      reason: string
      at: number
    }[]
  }
  /** Whether it may be granted as well. */
  may: 'answer' | 'refuse'
  why: string | null
  form?: FormState | undefined
}

export interface RequestsPageProps {
  shell: Shell
  /** Of the register, for the tabs. */
  open: number
  /** All of them; the page has the first. */
  waiting: number
  requests: readonly RequestToAnswer[]
}

export function RequestsPage(props: RequestsPageProps): JSX.Element {
  return (
    <Layout {...props.shell} title={say.concessions.requests}>
      <h1>{say.concessions.requests}</h1>
      <p class="lead">{say.concessions.lead}</p>
      <RegisterTabs here="requests" open={props.open} requests={props.waiting} />
      {props.requests.length === 0 ? (
        <Empty title={say.concessions.none}>{say.concessions.comesHere}</Empty>
      ) : (
        props.requests.map((request) => <Request key={request.id} {...request} />)
      )}
    </Layout>
  )
}

function Request(props: RequestToAnswer): JSX.Element {
  const { before, form } = props
  return (
    <section class="sheet" id={`request-${props.id}`} aria-labelledby={`request-${props.id}-title`}>
      <h2 id={`request-${props.id}-title`}>{props.subject}</h2>
      <p class="soft">
        <a href={`/jobs/${props.job.id}`}>{props.job.reference ?? say.concessions.theJob}</a> ·{' '}
        {props.site.customerName}, {props.site.address} ·{' '}
        <a href={`/jobs/${props.job.id}/audit`}>{say.concessions.theAudit}</a>
      </p>
      {props.finding === null ? null : (
        <FindingList findings={[props.finding]} level={3} idPrefix={`request-${props.id}`} />
      )}
      <h3>{say.concessions.whyAsked}</h3>
      <p>{props.reason}</p>
      <p class="soft">{say.concessions.asked(props.who, <When at={props.at} />)}</p>
      {props.photos.length === 0 ? null : (
        <>
          <h3>{say.concessions.photos}</h3>
          <PhotoGrid photos={props.photos} />
        </>
      )}
      <h3>{say.concessions.before}</h3>
      <p>
        {before.granted + before.refused === 0
          ? say.concessions.neverBefore
          : say.concessions.beforeCount(before.granted, before.refused)}
      </p>
      {before.last.length === 0 ? null : (
        <ul>
          {before.last.map((one) => (
            <li key={one.id}>
              <When at={one.at} show="day" />,{' '}
              <a href={`/jobs/${one.jobId}`}>{one.reference ?? say.concessions.theJob}</a>:{' '}
              {one.granted ? say.concessions.granted : say.concessions.refused}. {one.reason}
            </li>
          ))}
        </ul>
      )}
      {props.why === null ? null : <p class="hint">{props.why}</p>}
      <form method="post" action={`/concession-requests/${props.id}/answer`}>
        <h3>{say.concessions.answer}</h3>
        <input type="hidden" name="id" value={props.freshId} />
        {form === undefined ? null : <OtherErrors form={form} fields={['reason', 'conditions']} />}
        <AreaField
          name="reason"
          label={say.concessions.reason}
          hint={say.concessions.reasonHint}
          form={form}
          required
        />
        {props.may === 'refuse' ? null : (
          <AreaField
            name="conditions"
            label={say.concessions.conditions}
            hint={say.concessions.conditionsHint}
            form={form}
            rows={2}
          />
        )}
        <div class="buttons">
          {props.may === 'refuse' ? null : (
            <Button name="decision" value="granted">
              {say.concessions.grant}
            </Button>
          )}
          <Button kind="refuse" name="decision" value="refused">
            {say.concessions.refuse}
          </Button>
        </div>
      </form>
    </section>
  )
}

export interface AskedLine {
  id: string
  title: string
  subject: string
  reason: string
  state: 'waits' | 'granted' | 'refused' | 'withdrawn'
  answer: { reason: string; conditions: string | null; who: string; at: number } | null
}

/** On the page of a job: what was asked for, and what was answered, for whoever asked. */
export function AskedConcessions(props: { asked: readonly AskedLine[] }): JSX.Element | null {
  if (props.asked.length === 0) return null
  return (
    <section class="sheet" id="concessions" aria-labelledby="concessions-title">
      <h2 id="concessions-title">{say.concessions.ofThisJob}</h2>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">{say.concessions.requirement}</th>
            <th scope="col">{say.concessions.askedBecause}</th>
            <th scope="col">{say.concessions.theAnswer}</th>
          </tr>
        </thead>
        <tbody>
          {props.asked.map((one) => (
            <tr key={one.id}>
              <td>
                <b>{one.title}</b>
                <br />
                {one.subject}
              </td>
              <td data-label={say.concessions.askedBecause}>{one.reason}</td>
              <td data-label={say.concessions.theAnswer}>
                {one.answer === null ? (
                  <b>{say.concessions[one.state]}</b>
                ) : (
                  <>
                    <b>
                      {say.concessions.answeredBy(
                        say.concessions[one.state],
                        one.answer.who,
                        <When at={one.answer.at} show="day" />,
                      )}
                    </b>
                    <p class="why">{one.answer.reason}</p>
                    {one.answer.conditions === null ? null : (
                      <p class="why">{say.concessions.onCondition(one.answer.conditions)}</p>
                    )}
                  </>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
