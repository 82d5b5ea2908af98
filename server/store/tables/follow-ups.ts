// Which joints are to be looked at again because of what was found on others, by which job, and on what grounds?

import type { ReliabilityDimension } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { defineCallbacks } from './callbacks.ts'
import type { defineJobs } from './jobs.ts'
import type { defineJoints } from './joints.ts'
import { link, ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'

/** As it stood when the job was opened, so that it can still be said once the figures have moved on. */
export type FollowUpGrounds =
  | {
      kind: 'group'
      by: ReliabilityDimension
      also: ReliabilityDimension | null
      key: string
      leaks: number
      expectedLeaks: number
    }
  | { kind: 'callback'; cause: string }

export function defineFollowUps(
  kit: Kit,
  { members }: ReturnType<typeof definePeople>,
  { jobs }: ReturnType<typeof defineJobs>,
  { joints }: ReturnType<typeof defineJoints>,
  { callbacks }: ReturnType<typeof defineCallbacks>,
) {
  const followUps = kit.table(
    'follow_ups',
    {
      ...ownedBy(kit),
      jobId: kit.text('job_id').notNull(),
      jointId: kit.text('joint_id').notNull(),
      /** Whose finding it follows; null where it follows a group of joints. */
      callbackId: kit.text('callback_id'),
      grounds: kit.json<FollowUpGrounds>('grounds').notNull(),
      openedBy: kit.text('opened_by').notNull(),
      openedAt: kit.moment('opened_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'follow_ups_job_fk', t, t.jobId, jobs),
      link(kit, 'follow_ups_joint_fk', t, t.jointId, joints),
      link(kit, 'follow_ups_callback_fk', t, t.callbackId, callbacks),
      link(kit, 'follow_ups_member_fk', t, t.openedBy, members),
      kit.uniqueIndex('follow_ups_unique').on(t.companyId, t.jobId, t.jointId),
      kit.index('follow_ups_joint_index').on(t.companyId, t.jointId),
    ],
  )

  return { followUps }
}
