// Which joints are in this group, and which of them leaked?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { Layout } from '../layout.tsx'
import { When } from '../parts/when.tsx'

export interface GroupJointsProps {
  shell: Shell
  label: string
  back: string
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
        {props.count === 1 ? 'One joint' : `${props.count} joints`}; those that leaked first, then the newest
        in service.
      </p>
      <p>
        <a href={props.back}>Back to the groups</a>
      </p>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">Joint</th>
            <th scope="col">Made</th>
            <th scope="col">Leak</th>
          </tr>
        </thead>
        <tbody>
          {props.joints.map((joint) => (
            <tr key={`${joint.jointId} ${joint.madeAt}`}>
              <td>
                <a href={`/joints/${joint.jointId}`}>{joint.tag}</a>, {joint.place}
              </td>
              <td data-label="Made">
                <When at={joint.madeAt} show="day" />
              </td>
              <td data-label="Leak">
                {joint.leak === null ? (
                  joint.endedAt === null ? (
                    'none, in service'
                  ) : (
                    <>
                      none until <When at={joint.endedAt} show="day" />
                    </>
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
        <p class="soft">The first {props.joints.length} are shown.</p>
      ) : null}
    </Layout>
  )
}
