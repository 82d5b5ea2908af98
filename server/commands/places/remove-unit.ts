// Takes a unit out of its system: a dated fact beside its row, which stays.

import { z } from 'zod'
import { conflict, malformedField } from '../../refusals.ts'
import { type DatedUnit, findUnit } from '../../store/queries/systems.ts'
import { appendFact } from '../../store/record.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, moment, ownId, reason } from '../fields.ts'
import { notFuture } from '../provenance.ts'
import { jobForChange } from './job-for.ts'

export const removeUnit = defineCommand({
  name: 'remove-unit',
  summary: 'Record that a unit was taken out.',
  capability: 'set-up-system',
  input: z.strictObject({
    id: ownId,
    unitId: id,
    reason,
    removedAt: moment.optional().meta({ description: 'Default: now. Not the future.' }),
  }),
  async handle(scope, input, context): Promise<DatedUnit> {
    const unit = await findUnit(scope, input.unitId)
    if (unit.removedAt !== null) throw conflict('already-removed', say.systems.wasAlreadyTakenOut(unit.name))
    const removedAt = notFuture('removedAt', input.removedAt ?? context.now, context.now)
    if (removedAt < unit.installedAt) throw malformedField('removedAt', say.systems.itWasInstalledAfter)
    const seal = await appendFact(scope, 'unitRemovals', {
      companyId: scope.companyId,
      id: input.id ?? context.newId(),
      unitId: unit.id,
      reason: input.reason,
      removedAt,
      recordedBy: context.actor.memberId,
      recordedAt: context.now,
    })
    context.record({
      chainId: unit.systemId,
      kind: 'unit-removed',
      subjectId: unit.id,
      jobId: await jobForChange(scope, unit.systemId),
      facts: [seal],
    })
    return findUnit(scope, unit.id)
  },
})
