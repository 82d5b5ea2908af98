// What makes the record tamper-evident and repeatable? Chains of entries, corrections, keys of answered writes.

import type { CorrectionState } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import { link, ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'

export function defineRecord(kit: Kit, { companies, members }: ReturnType<typeof definePeople>) {
  /** The head of each chain: one per system, and one for what belongs to the company as a whole. */
  const chains = kit.table(
    'chains',
    {
      ...ownedBy(kit),
      kind: kit.text('kind').$type<'system' | 'company'>().notNull(),
      headNumber: kit.int('head_number').notNull(),
      headHash: kit.text('head_hash').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      kit.foreignKey({ name: 'chains_company_fk', columns: [t.companyId], foreignColumns: [companies.id] }),
    ],
  )

  /** `content` is the canonical JSON that was hashed; the other columns repeat parts of it to be found by. */
  const entries = kit.table(
    'entries',
    {
      companyId: kit.text('company_id').notNull(),
      chainId: kit.text('chain_id').notNull(),
      number: kit.int('number').notNull(),
      id: kit.text('id').notNull(),
      kind: kit.text('kind').notNull(),
      subjectId: kit.text('subject_id').notNull(),
      jobId: kit.text('job_id'),
      memberId: kit.text('member_id'),
      at: kit.moment('at').notNull(),
      content: kit.text('content').notNull(),
      previousHash: kit.text('previous_hash').notNull(),
      hash: kit.text('hash').notNull(),
    },
    (t) => [
      kit.primaryKey({ columns: [t.companyId, t.chainId, t.number] }),
      link(kit, 'entries_chain_fk', t, t.chainId, chains),
      kit.uniqueIndex('entries_id_unique').on(t.companyId, t.id),
      kit.index('entries_subject_index').on(t.companyId, t.subjectId),
    ],
  )

  /** A correction supersedes a fact with a replacement fact; one that changes an outcome waits for a manager. */
  const corrections = kit.table(
    'corrections',
    {
      ...ownedBy(kit),
      entryId: kit.text('entry_id').notNull(),
      factTable: kit.text('fact_table').notNull(),
      factId: kit.text('fact_id').notNull(),
      replacementId: kit.text('replacement_id').notNull(),
      jobId: kit.text('job_id').notNull(),
      reason: kit.text('reason').notNull(),
      changesOutcome: kit.bool('changes_outcome').notNull(),
      requestedBy: kit.text('requested_by').notNull(),
      requestedAt: kit.moment('requested_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'corrections_requested_by_fk', t, t.requestedBy, members),
      kit.index('corrections_job_index').on(t.companyId, t.jobId),
      kit.index('corrections_fact_index').on(t.companyId, t.factId),
      kit.uniqueIndex('corrections_replacement_unique').on(t.companyId, t.replacementId),
    ],
  )

  const correctionDecisions = kit.table(
    'correction_decisions',
    {
      ...ownedBy(kit),
      correctionId: kit.text('correction_id').notNull(),
      state: kit.text('state').$type<Exclude<CorrectionState, 'waiting'>>().notNull(),
      reason: kit.text('reason'),
      decidedBy: kit.text('decided_by').notNull(),
      decidedAt: kit.moment('decided_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'correction_decisions_correction_fk', t, t.correctionId, corrections),
      kit.uniqueIndex('correction_decisions_unique').on(t.companyId, t.correctionId),
    ],
  )

  /** The first answer to each keyed write, for a client that asks again. */
  const idempotencyKeys = kit.table(
    'idempotency_keys',
    {
      companyId: kit.text('company_id').notNull(),
      key: kit.text('key').notNull(),
      command: kit.text('command').notNull(),
      contentHash: kit.text('content_hash').notNull(),
      answer: kit.json<unknown>('answer').notNull(),
      at: kit.moment('at').notNull(),
    },
    (t) => [
      kit.primaryKey({ columns: [t.companyId, t.key] }),
      kit.foreignKey({
        name: 'idempotency_keys_company_fk',
        columns: [t.companyId],
        foreignColumns: [companies.id],
      }),
    ],
  )

  return { chains, entries, corrections, correctionDecisions, idempotencyKeys }
}
