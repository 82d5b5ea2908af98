// Records what the system showed while it ran, or why it could not be run today and until when it must be.

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import { listRunningChecks, type RecordedRunningCheck } from '../../store/queries/running-checks.ts'
import { findSystem } from '../../store/queries/systems.ts'
import { appendFact } from '../../store/record.ts'
import type { RunningMeasurements } from '../../store/tables/section-tests.ts'
import { RUNNING_MODES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, moment, ownId, reason } from '../fields.ts'
import { findOpenJobOn } from '../jobs/job-turns.ts'
import { provenanceOf, whoAndWhen } from '../provenance.ts'
import { asTyped, gaugePressure, temperature } from '../quantities.ts'

export const recordRunningCheck = defineCommand({
  name: 'record-running-check',
  summary: 'Record a running check, or why it is not possible today.',
  capability: 'record-work',
  input: z.strictObject({
    id: ownId,
    systemId: id,
    jobId: id,
    mode: z.enum(RUNNING_MODES, { error: () => say.charging.useOneOf(RUNNING_MODES.join(', ')) }),
    steadyMinutes: z
      .number({ error: () => say.charging.enterANumber })
      .min(0, { error: () => say.charging.itCanBeNo })
      .max(10_080, { error: () => say.charging.thatIsMoreThan })
      .optional(),
    liquidLinePressure: gaugePressure().optional().meta({ description: 'Gauge pressure.' }),
    liquidLineTemperature: temperature().optional(),
    suctionPressure: gaugePressure().optional().meta({ description: 'Gauge pressure.' }),
    suctionTemperature: temperature().optional(),
    supplyAir: temperature().optional(),
    returnAir: temperature().optional(),
    ambient: temperature().optional(),
    notPossible: z.strictObject({ reason, dueAt: moment }).optional(),
    ...whoAndWhen,
  }),
  async handle(scope, input, context): Promise<RecordedRunningCheck> {
    const system = await findSystem(scope, input.systemId)
    const job = await findOpenJobOn(scope, input.jobId, system.id)
    const measured: RunningMeasurements = {
      steadyS: input.steadyMinutes === undefined ? null : input.steadyMinutes * 60,
      liquidLinePressureGaugePa: input.liquidLinePressure?.si ?? null,
      liquidLineTemperatureK: input.liquidLineTemperature?.si ?? null,
      suctionPressureGaugePa: input.suctionPressure?.si ?? null,
      suctionTemperatureK: input.suctionTemperature?.si ?? null,
      supplyAirK: input.supplyAir?.si ?? null,
      returnAirK: input.returnAir?.si ?? null,
      ambientK: input.ambient?.si ?? null,
      notPossible: input.notPossible ?? null,
    }
    const { steadyS: _, notPossible, ...readings } = measured
    if (!notPossible && Object.values(readings).every((reading) => reading === null))
      throw malformedField('liquidLinePressure', say.charging.enterAtLeastOne)
    const checkId = input.id ?? context.newId()
    const seal = await appendFact(scope, 'runningChecks', {
      companyId: scope.companyId,
      id: checkId,
      systemId: system.id,
      jobId: job.id,
      mode: input.mode,
      measured,
      correctsId: null,
      typed: asTyped(input),
      ...(await provenanceOf(scope, input, context)),
    })
    context.record({
      chainId: system.id,
      kind: 'running-check-recorded',
      subjectId: checkId,
      jobId: job.id,
      facts: [seal],
      body: { mode: input.mode, possible: notPossible === null },
    })
    const checks = (await listRunningChecks(scope, [system.id])).get(system.id) ?? []
    const recorded = checks.find((check) => check.id === checkId)
    if (!recorded) throw new Error('The running check just recorded is not there.')
    return recorded
  },
})
