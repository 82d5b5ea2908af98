// Starts an evacuation: what is under vacuum, where the gauge sits and where it will be isolated.

import { z } from 'zod'
import { findEvacuation, type StoredEvacuation } from '../../store/queries/section-tests.ts'
import { findSystem } from '../../store/queries/systems.ts'
import { appendFact } from '../../store/record.ts'
import type { EvacuationSetUp } from '../../store/tables/section-tests.ts'
import { VACUUM_GAUGE_PLACES, VACUUM_ISOLATIONS } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { findOpenJobOn } from '../jobs/job-turns.ts'
import { provenanceOf } from '../provenance.ts'
import { assertRepeats, coversOf, GAUGES, instrumentFor, sectionTestFields } from './set-up.ts'

export const startEvacuation = defineCommand({
  name: 'start-evacuation',
  summary: 'Start an evacuation of a system, or of some of its sections.',
  capability: 'record-work',
  input: z.strictObject({
    ...sectionTestFields,
    gaugeAt: z
      .enum(VACUUM_GAUGE_PLACES, { error: () => say.tests.useOneOf(VACUUM_GAUGE_PLACES.join(', ')) })
      .optional(),
    isolatedAt: z
      .enum(VACUUM_ISOLATIONS, { error: () => say.tests.useOneOf(VACUUM_ISOLATIONS.join(', ')) })
      .optional(),
  }),
  async handle(scope, input, context): Promise<StoredEvacuation> {
    const system = await findSystem(scope, input.systemId)
    const job = await findOpenJobOn(scope, input.jobId, system.id)
    const covers = await coversOf(scope, system.id, input.covers ?? [])
    const gauge = await instrumentFor(scope, 'gaugeInstrumentId', input.gaugeInstrumentId, GAUGES.evacuation)
    await assertRepeats(scope, system.id, 'evacuation', input.repeatOf)
    const setUp: EvacuationSetUp = {
      gaugeAt: input.gaugeAt ?? null,
      isolatedAt: input.isolatedAt ?? null,
    }
    const testId = input.id ?? context.newId()
    const seal = await appendFact(scope, 'sectionTests', {
      companyId: scope.companyId,
      id: testId,
      systemId: system.id,
      jobId: job.id,
      kind: 'evacuation',
      covers,
      throughOutdoorUnit: input.throughOutdoorUnit ?? false,
      gaugeInstrumentId: gauge.id,
      setUp,
      repeatOf: input.repeatOf ?? null,
      repeatCause: input.repeatCause ?? null,
      repeatNote: input.repeatNote ?? null,
      typed: {},
      ...(await provenanceOf(scope, input, context)),
    })
    context.record({
      chainId: system.id,
      kind: 'evacuation-started',
      subjectId: testId,
      jobId: job.id,
      facts: [seal],
      body: { covers },
    })
    return findEvacuation(scope, testId)
  },
})
