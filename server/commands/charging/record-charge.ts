// Records refrigerant let in, taken out, or released from the outdoor unit where the factory put it.

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import { listCharges, type RecordedCharge } from '../../store/queries/charges.ts'
import { findSystem } from '../../store/queries/systems.ts'
import { appendFact } from '../../store/record.ts'
import { CHARGE_DIRECTIONS, CHARGE_SOURCES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { findOpenJobOn } from '../jobs/job-turns.ts'
import { provenanceOf, whoAndWhen } from '../provenance.ts'
import { asTyped, mass } from '../quantities.ts'
import { instrumentFor } from '../section-tests/set-up.ts'

export const recordCharge = defineCommand({
  name: 'record-charge',
  summary: 'Record refrigerant charged, recovered, or released from the factory charge.',
  capability: 'record-work',
  input: z.strictObject({
    id: ownId,
    systemId: id,
    jobId: id,
    direction: z.enum(CHARGE_DIRECTIONS, {
      error: () => say.charging.useOneOf(CHARGE_DIRECTIONS.join(', ')),
    }),
    mass: mass({ max: 200 }).optional(),
    scaleInstrumentId: id.optional(),
    source: z
      .enum(CHARGE_SOURCES, { error: () => say.charging.useOneOf(CHARGE_SOURCES.join(', ')) })
      .optional(),
    cylinderId: text(80).optional(),
    ...whoAndWhen,
  }),
  async handle(scope, input, context): Promise<RecordedCharge> {
    const system = await findSystem(scope, input.systemId)
    const job = await findOpenJobOn(scope, input.jobId, system.id)
    if (input.scaleInstrumentId !== undefined) {
      await instrumentFor(scope, 'scaleInstrumentId', input.scaleInstrumentId, ['scale'])
      if (!input.mass) throw malformedField('mass', say.charging.enterWhatTheScale)
    }
    const chargeId = input.id ?? context.newId()
    const seal = await appendFact(scope, 'charges', {
      companyId: scope.companyId,
      id: chargeId,
      systemId: system.id,
      jobId: job.id,
      direction: input.direction,
      massKg: input.mass?.si ?? null,
      scaleInstrumentId: input.scaleInstrumentId ?? null,
      source: input.source ?? (input.direction === 'factory-released' ? 'factory' : null),
      cylinderId: input.cylinderId ?? null,
      correctsId: null,
      typed: asTyped(input),
      ...(await provenanceOf(scope, input, context)),
    })
    context.record({
      chainId: system.id,
      kind: 'charge-recorded',
      subjectId: chargeId,
      jobId: job.id,
      facts: [seal],
      body: { direction: input.direction, massKg: input.mass?.si ?? null },
    })
    const charges = (await listCharges(scope, [system.id])).get(system.id) ?? []
    const recorded = charges.find((charge) => charge.id === chargeId)
    if (!recorded) throw new Error('The charge just recorded is not there.')
    return recorded
  },
})
