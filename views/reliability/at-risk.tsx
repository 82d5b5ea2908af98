// Which joints in service are to be looked at first, why, and which jobs look at them?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { Pager } from '../parts/pager.tsx'
import { Tag } from '../parts/tag.tsx'

export interface AtRiskPageProps {
  shell: Shell
  /** Of the group, or of the joint that leaked; null for what is not there. */
  label: string | null
  group: { flagged: boolean; leaks: number; expected: string; common: readonly string[] } | null
  callback: { tag: string; cause: string; conditions: readonly string[] } | null
  back: string
  /** This list, from its beginning: where the forms are sent to. */
  self: string
  /** The filters, as the forms carry them on. */
  asked: Readonly<Record<string, string>>
  count: number
  cut: boolean
  /** How many of them an open job looks at. */
  open: number
  joints: readonly {
    jointId: string
    rank: number
    tag: string
    place: string
    customerName: string
    systemName: string
    systemId: string
    points: number
    reasons: readonly string[]
    followUp: { jobId: string; open: boolean } | null
  }[]
  csv: string
  firstHref: string | undefined
  nextHref: string | undefined
  mayOpen: boolean
  freshKey: string
  form?: FormState | undefined
}

export function AtRiskPage(props: AtRiskPageProps): JSX.Element {
  const { label, group, callback } = props
  const title = label === null ? say.atRisk.title : say.atRisk.titleOf(label)
  const byCallback = 'callbackId' in props.asked
  return (
    <Layout {...props.shell} title={title}>
      <h1>{title}</h1>
      <p class="lead">
        {callback === null ? say.atRisk.leadGroup : say.atRisk.leadCallback(callback.cause, callback.tag)}
      </p>
      {group === null ? null : (
        <p>
          {group.flagged ? say.atRisk.standsOut(group.leaks, group.expected) : say.atRisk.doesNotStandOut}{' '}
          {group.common.length === 0 ? '' : say.atRisk.allAgreeIn(group.common.join(', '))}
        </p>
      )}
      {callback === null || callback.conditions.length === 0 ? null : (
        <p>{say.atRisk.sharedBy(callback.conditions.join(', '))}</p>
      )}
      <p class="soft">
        {say.atRisk.neverByPerson} <a href="/methods/at-risk">{say.atRisk.howRanked}</a>
      </p>
      <p>
        <a href={props.back}>{byCallback ? say.atRisk.theCallback : say.atRisk.backToTheGroups}</a>
      </p>
      <OtherErrors form={props.form} fields={['most']} />
      {props.count === 0 ? (
        <Empty title={say.atRisk.nobody}>
          {byCallback && callback === null
            ? say.atRisk.noJointNamed
            : byCallback || 'key' in props.asked
              ? say.atRisk.nobodyWhy
              : say.atRisk.nothingChosen}
        </Empty>
      ) : (
        <Joints {...props} />
      )}
    </Layout>
  )
}

function Joints(props: AtRiskPageProps): JSX.Element {
  return (
    <>
      <p>
        {say.atRisk.ofAll(props.count)} {props.cut ? say.atRisk.cut(props.count) : ''}{' '}
        {props.open === 0 ? '' : say.atRisk.openOnes(props.open)}{' '}
        <a href={props.csv} hx-boost="false" download>
          {say.atRisk.asCsv}
        </a>
      </p>
      {props.mayOpen ? <OpenForMost {...props} /> : null}
      {props.mayOpen ? (
        <form method="post" action={props.self}>
          <Carried {...props} />
          <Table {...props} />
          <Button kind="other">{say.atRisk.openForTicked}</Button>
        </form>
      ) : (
        <Table {...props} />
      )}
      <Pager of={say.atRisk.joints} firstHref={props.firstHref} nextHref={props.nextHref} />
    </>
  )
}

/** What both forms say besides: of which list they are, and that they are one write however often they are sent. */
function Carried({ asked, freshKey }: Pick<AtRiskPageProps, 'asked' | 'freshKey'>): JSX.Element {
  return (
    <>
      <input type="hidden" name="_key" value={freshKey} />
      {Object.entries(asked).map(([name, value]) => (
        <input key={name} type="hidden" name={name} value={value} />
      ))}
    </>
  )
}

function OpenForMost(props: AtRiskPageProps): JSX.Element {
  return (
    <form method="post" action={props.self} class="sheet">
      <Carried {...props} freshKey={`${props.freshKey}-most`} />
      <TextField
        name="most#"
        label={say.atRisk.mostAtRisk}
        value={String(Math.min(props.count, 10))}
        form={props.form}
      />
      <Button>{say.atRisk.openForMost}</Button>
      <p class="hint">{say.atRisk.jobsWhy}</p>
    </form>
  )
}

function Table({ joints, mayOpen }: AtRiskPageProps): JSX.Element {
  return (
    <table class="stack">
      <thead>
        <tr>
          <th scope="col">{say.atRisk.joint}</th>
          <th scope="col">{say.atRisk.where}</th>
          <th scope="col">{say.atRisk.why}</th>
          <th scope="col">{say.atRisk.points}</th>
          <th scope="col">{say.atRisk.followUp}</th>
        </tr>
      </thead>
      <tbody>
        {joints.map((joint) => (
          <tr key={joint.jointId}>
            <td>
              {mayOpen && joint.followUp?.open !== true ? (
                <>
                  <input
                    type="checkbox"
                    name={`_joint.${joint.jointId}`}
                    value="yes"
                    aria-label={say.atRisk.tick(joint.tag)}
                  />{' '}
                </>
              ) : null}
              {joint.rank}. <Tag tag={joint.tag} href={`/joints/${joint.jointId}/history`} />, {joint.place}
            </td>
            <td data-label={say.atRisk.where}>
              {joint.customerName}, <a href={`/systems/${joint.systemId}`}>{joint.systemName}</a>
            </td>
            <td data-label={say.atRisk.why}>{joint.reasons.join('; ')}</td>
            <td data-label={say.atRisk.points} class="figure">
              {joint.points}
            </td>
            <td data-label={say.atRisk.followUp}>
              {joint.followUp === null ? (
                <span class="soft">{say.atRisk.notYet}</span>
              ) : (
                <a href={`/jobs/${joint.followUp.jobId}`}>
                  {joint.followUp.open ? say.atRisk.inJob : say.atRisk.lookedAt}
                </a>
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
