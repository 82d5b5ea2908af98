// Which joints are in this group, and which of them leaked?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { When } from '../parts/when.tsx'

export interface GroupJointsProps {
  shell: Shell
  label: string
  back: string
  /** Of those in service, the ones to look at first; none where the group is about persons. */
  atRisk: string | undefined
  count: number
  joints: readonly {
    jointId: string
    tag: string
    place: string
    systemId: string
    madeAt: number
    /** Null: still in service. */
    endedAt: number | null
    leak: { callbackId: string; at: number; cause: string } | null
  }[]
}

export function GroupJoints(props: GroupJointsProps): JSX.Element {
  return (
    <Layout {...props.shell} title={props.label}>
      <h1>{props.label}</h1>
      <p class="lead">
        {say.reliability.thoseThatLeakedFirst(
          props.count === 1 ? say.reliability.oneJoint : say.reliability.joints(props.count),
        )}
      </p>
      <p>
        <a href={props.back}>{say.reliability.backToTheGroups}</a>
        {props.atRisk === undefined ? null : (
          <>
            {' · '}
            <a href={props.atRisk}>{say.atRisk.atRiskLink}</a>
          </>
        )}
      </p>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">{say.reliability.joint}</th>
            <th scope="col">{say.reliability.made}</th>
            <th scope="col">{say.reliability.leak}</th>
          </tr>
        </thead>
        <tbody>
          {props.joints.map((joint) => (
            <tr key={`${joint.jointId} ${joint.madeAt}`}>
              <td>
                <a href={`/joints/${joint.jointId}`}>{joint.tag}</a>, {joint.place}
              </td>
              <td data-label={say.reliability.made}>
                <When at={joint.madeAt} show="day" />
              </td>
              <td data-label={say.reliability.leak}>
                {joint.leak === null ? (
                  joint.endedAt === null ? (
                    say.reliability.noneInService
                  ) : (
                    say.reliability.noneUntil(<When at={joint.endedAt} show="day" />)
                  )
                ) : (
                  <>
                    <a href={`/callbacks/${joint.leak.callbackId}`}>
                      <When at={joint.leak.at} show="day" />
                    </a>
                    , {joint.leak.cause}
                  </>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {props.joints.length < props.count ? (
        <p class="soft">{say.reliability.theFirstAreShown(props.joints.length)}</p>
      ) : null}
    </Layout>
  )
}
