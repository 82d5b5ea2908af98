// Starts a making of a joint. A second one needs a reason: the old one stays in the history for ever.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { conflict, malformedField } from '../../refusals.ts'
import { findJointRow, type MakeRow, withMakes } from '../../store/queries/joints.ts'
import { appendFact } from '../../store/record.ts'
import { keepLivesAfterMake } from '../../store/rollups.ts'
import type { Scope } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { type Context, defineCommand } from '../command.ts'
import { id, ownId, reason } from '../fields.ts'
import { findOpenJobOn } from '../jobs/job-turns.ts'
import { provenanceOf, whoAndWhen } from '../provenance.ts'

const fields = { id: ownId, jobId: id, reason: reason.optional(), ...whoAndWhen }
const input = z.strictObject({ jointId: id, ...fields })

export const startMake = defineCommand({
  name: 'start-make',
  summary: 'Start a making of a joint; a second one needs a reason.',
  capability: 'record-work',
  input,
  handle: startMakeOf,
})

export async function startMakeOf(
  scope: Scope,
  given: z.output<typeof input>,
  context: Context,
): Promise<MakeRow> {
  const row = await findJointRow(scope, given.jointId)
  await findOpenJobOn(scope, given.jobId, row.systemId)
  const joint = await withMakes(scope, row)
  if (joint.retiredAt !== null) throw conflict('joint-retired', say.joints.thisJointWasRetired)
  const number = joint.makes.reduce((highest, make) => Math.max(highest, make.number), 0) + 1
  if (number > 1 && given.reason === undefined)
    throw malformedField('reason', say.joints.sayWhyMakingIs(number))
  await assertNotLeftOut(scope, given.jobId, joint.id)
  const make: MakeRow = {
    companyId: scope.companyId,
    id: given.id ?? context.newId(),
    jointId: joint.id,
    jobId: given.jobId,
    number,
    reason: given.reason ?? null,
    ...(await provenanceOf(scope, given, context)),
  }
  const seal = await appendFact(scope, 'makes', make)
  await keepLivesAfterMake(scope, joint.id, given.jobId)
  context.record({
    chainId: row.systemId,
    kind: 'make-started',
    subjectId: joint.id,
    jobId: given.jobId,
    facts: [seal],
    body: { number },
  })
  return make
}

/** A joint that was left out of the job can't be made on it at the same time. */
async function assertNotLeftOut({ db, t, companyId }: Scope, jobId: string, jointId: string): Promise<void> {
  const [left] = await db
    .select({ id: t.jointExclusions.id })
    .from(t.jointExclusions)
    .where(
      and(
        eq(t.jointExclusions.companyId, companyId),
        eq(t.jointExclusions.jobId, jobId),
        eq(t.jointExclusions.jointId, jointId),
      ),
    )
  if (left) throw conflict('joint-left-out', say.joints.thisJointWasLeft)
}
