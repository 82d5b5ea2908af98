// Which systems came back, and why? Callbacks and what was found.

import type { CallbackOutcome, CallbackPart, ClaimStatus, Responsibility } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { AsTyped } from '../rows.ts'
import type { defineJoints } from './joints.ts'
import { link, ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'
import type { definePlaces } from './places.ts'

export interface CallbackDetail {
  /** Who said so, by name or as they stand to the place; left out of what was taken in before this was asked. */
  reportedBy?: string | null | undefined
  responsibility: Responsibility | null
  refrigerantRecoveredKg: number | null
  refrigerantAddedKg: number | null
  labourS: number | null
  partsReplaced: { part: string; oldSerial: string | null; newSerial: string | null }[]
  claim: {
    maker: string
    /** The maker's; null until the maker gave one. */
    number: string | null
    status: ClaimStatus
    sentAt: number | null
    dueAt: number | null
    /** With its currency, as the claim says it. */
    amount: string | null
  } | null
  /** The quantities as they were typed. */
  typed: AsTyped
}

export function defineCallbacks(
  kit: Kit,
  { members }: ReturnType<typeof definePeople>,
  { systems }: ReturnType<typeof definePlaces>,
  { joints }: ReturnType<typeof defineJoints>,
) {
  const callbacks = kit.table(
    'callbacks',
    {
      ...ownedBy(kit),
      systemId: kit.text('system_id').notNull(),
      reportedAt: kit.moment('reported_at').notNull(),
      symptom: kit.text('symptom').notNull(),
      outcome: kit.text('outcome').$type<CallbackOutcome>().notNull(),
      detail: kit.json<CallbackDetail>('detail').notNull(),
      recordedBy: kit.text('recorded_by').notNull(),
      recordedAt: kit.moment('recorded_at').notNull(),
      closedAt: kit.moment('closed_at'),
      closedBy: kit.text('closed_by'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'callbacks_system_fk', t, t.systemId, systems),
      link(kit, 'callbacks_recorded_by_fk', t, t.recordedBy, members),
      kit.index('callbacks_reported_index').on(t.companyId, t.reportedAt, t.id),
      kit.index('callbacks_system_index').on(t.companyId, t.systemId),
    ],
  )

  const callbackFindings = kit.table(
    'callback_findings',
    {
      ...ownedBy(kit),
      callbackId: kit.text('callback_id').notNull(),
      part: kit.text('part').$type<CallbackPart>().notNull(),
      jointId: kit.text('joint_id'),
      place: kit.text('place'),
      method: kit.text('method').notNull(),
      cause: kit.text('cause').notNull(),
      size: kit.text('size'),
      recordedBy: kit.text('recorded_by').notNull(),
      recordedAt: kit.moment('recorded_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'callback_findings_callback_fk', t, t.callbackId, callbacks),
      link(kit, 'callback_findings_joint_fk', t, t.jointId, joints),
      link(kit, 'callback_findings_recorded_by_fk', t, t.recordedBy, members),
      kit.index('callback_findings_joint_index').on(t.companyId, t.jointId),
      kit.index('callback_findings_callback_index').on(t.companyId, t.callbackId),
    ],
  )

  return { callbacks, callbackFindings }
}
