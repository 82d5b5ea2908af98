// Starts a standing pressure test: what is under test, with which gas and which instruments.

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import { findPressureTest, type StoredPressureTest } from '../../store/queries/section-tests.ts'
import { findSite } from '../../store/queries/sites.ts'
import { findSystem } from '../../store/queries/systems.ts'
import { appendFact } from '../../store/record.ts'
import type { Scope } from '../../store/store.ts'
import type { PressureSetUp } from '../../store/tables/section-tests.ts'
import { atmosphericPressureAt, STANDARD_ATMOSPHERE_PA } from '../../trade/atmosphere.ts'
import { TEST_CONDITIONS, TEST_MEDIA, TRACERS } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'
import { findOpenJobOn } from '../jobs/job-turns.ts'
import { provenanceOf } from '../provenance.ts'
import { absolutePressure, asTyped, elevation } from '../quantities.ts'
import { assertRepeats, coversOf, GAUGES, instrumentFor, sectionTestFields } from './set-up.ts'

export const startPressureTest = defineCommand({
  name: 'start-pressure-test',
  summary: 'Start a standing pressure test of a system, or of some of its sections.',
  capability: 'record-work',
  input: z.strictObject({
    ...sectionTestFields,
    medium: z.enum(TEST_MEDIA, { error: () => say.tests.useOneOf(TEST_MEDIA.join(', ')) }),
    tracer: z
      .strictObject({
        kind: z.enum(TRACERS, { error: () => say.tests.useOneOf(TRACERS.join(', ')) }),
        fraction: z
          .number({ error: () => say.tests.enterANumber })
          .min(0, { error: () => say.tests.between0And1 })
          .max(1, { error: () => say.tests.between0And1 }),
      })
      .optional()
      .meta({ description: 'For nitrogen-trace: what is mixed in, and its share by volume, 0 to 1.' }),
    thermometerInstrumentId: id.optional(),
    siteElevation: elevation().optional(),
    absoluteAtmosphericPressure: absolutePressure({ min: 30_000, max: 120_000 }).optional(),
    conditions: z
      .enum(TEST_CONDITIONS, { error: () => say.tests.useOneOf(TEST_CONDITIONS.join(', ')) })
      .optional(),
  }),
  async handle(scope, input, context): Promise<StoredPressureTest> {
    const system = await findSystem(scope, input.systemId)
    const job = await findOpenJobOn(scope, input.jobId, system.id)
    if (input.tracer && input.medium !== 'nitrogen-trace')
      throw malformedField('tracer', say.tests.onlyANitrogenTrace)
    const covers = await coversOf(scope, system.id, input.covers ?? [])
    const gauge = await instrumentFor(scope, 'gaugeInstrumentId', input.gaugeInstrumentId, GAUGES.pressure)
    if (input.thermometerInstrumentId !== undefined)
      await instrumentFor(scope, 'thermometerInstrumentId', input.thermometerInstrumentId, ['thermometer'])
    await assertRepeats(scope, system.id, 'pressure', input.repeatOf)
    const setUp: PressureSetUp = {
      medium: input.medium,
      tracer: input.tracer ?? null,
      thermometerInstrumentId: input.thermometerInstrumentId ?? null,
      ...(await airOf(scope, system.siteId, input)),
      conditions: input.conditions ?? null,
    }
    const testId = input.id ?? context.newId()
    const seal = await appendFact(scope, 'sectionTests', {
      companyId: scope.companyId,
      id: testId,
      systemId: system.id,
      jobId: job.id,
      kind: 'pressure',
      covers,
      throughOutdoorUnit: input.throughOutdoorUnit ?? false,
      gaugeInstrumentId: gauge.id,
      setUp,
      repeatOf: input.repeatOf ?? null,
      repeatCause: input.repeatCause ?? null,
      repeatNote: input.repeatNote ?? null,
      typed: asTyped(input),
      ...(await provenanceOf(scope, input, context)),
    })
    context.record({
      chainId: system.id,
      kind: 'pressure-test-started',
      subjectId: testId,
      jobId: job.id,
      facts: [seal],
      body: { medium: input.medium, covers },
    })
    return findPressureTest(scope, testId)
  },
})

/** The air's pressure, and where it was taken from. */
async function airOf(
  scope: Scope,
  siteId: string,
  input: {
    siteElevation?: { si: number } | undefined
    absoluteAtmosphericPressure?: { si: number } | undefined
  },
): Promise<Pick<PressureSetUp, 'atmosphericPressurePa' | 'atmosphericPressureSource'>> {
  if (input.absoluteAtmosphericPressure)
    return {
      atmosphericPressurePa: input.absoluteAtmosphericPressure.si,
      atmosphericPressureSource: 'entered',
    }
  if (input.siteElevation)
    return {
      atmosphericPressurePa: atmosphericPressureAt(input.siteElevation.si),
      atmosphericPressureSource: 'elevation-entered',
    }
  const { elevationM } = await findSite(scope, siteId)
  return elevationM === null
    ? { atmosphericPressurePa: STANDARD_ATMOSPHERE_PA, atmosphericPressureSource: 'sea-level' }
    : {
        atmosphericPressurePa: atmosphericPressureAt(elevationM),
        atmosphericPressureSource: 'site-elevation',
      }
}
