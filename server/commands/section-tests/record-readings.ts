// Records readings of a running test: all of them or none.

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import {
  findEvacuation,
  findPressureTest,
  lockSectionTest,
  type StoredEvacuation,
  type StoredPressureTest,
} from '../../store/queries/section-tests.ts'
import { appendFact, type FactSeal } from '../../store/record.ts'
import type { Scope } from '../../store/store.ts'
import { PRESSURE_STAGES, type PressureStage, VACUUM_PHASES, type VacuumPhase } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { type Context, defineCommand } from '../command.ts'
import { id, moment, ownId } from '../fields.ts'
import { findOpenJob } from '../jobs/job-turns.ts'
import { notFuture } from '../provenance.ts'
import { absolutePressure, asTyped, gaugePressure, temperature } from '../quantities.ts'
import { assertRunning, GAUGES, instrumentFor } from './set-up.ts'

/** A long decay read every ten seconds for an hour. */
const MOST_AT_ONCE = 500

const common = {
  id: ownId,
  at: moment.optional().meta({ description: 'When it was read. Default: now. Not the future.' }),
  instrumentId: id.optional().meta({ description: 'Another gauge than the test began with.' }),
}

const several = <Reading extends z.ZodType>(reading: Reading) =>
  z
    .array(reading, { error: () => say.tests.sendAListOf })
    .min(1, { error: () => say.tests.sendAtLeastOne })
    .max(MOST_AT_ONCE)

export const recordPressureReadings = defineCommand({
  name: 'record-pressure-readings',
  summary: 'Record readings of a running pressure test, all or nothing.',
  capability: 'record-work',
  input: z.strictObject({
    pressureTestId: id,
    readings: several(
      z.strictObject({
        ...common,
        stage: z.enum(PRESSURE_STAGES, { error: () => say.tests.useOneOf(PRESSURE_STAGES.join(', ')) }),
        gaugePressure: gaugePressure(),
        temperature: temperature(),
        thermometerInstrumentId: id.optional(),
      }),
    ),
  }),
  async handle(scope, input, context): Promise<StoredPressureTest> {
    await lockSectionTest(scope, input.pressureTestId)
    const stored = await findPressureTest(scope, input.pressureTestId)
    await findOpenJob(scope, stored.test.jobId)
    assertRunning(stored)
    for (const [index, reading] of input.readings.entries()) {
      if (reading.instrumentId !== undefined)
        await instrumentFor(scope, `readings.${index}.instrumentId`, reading.instrumentId, GAUGES.pressure)
      if (reading.thermometerInstrumentId !== undefined)
        await instrumentFor(
          scope,
          `readings.${index}.thermometerInstrumentId`,
          reading.thermometerInstrumentId,
          ['thermometer'],
        )
    }
    const seals = await appendReadings(
      scope,
      context,
      stored.test.id,
      input.readings.map((reading) => ({
        ...reading,
        phase: reading.stage,
        pressurePa: reading.gaugePressure.si,
        temperatureK: reading.temperature.si,
        typed: asTyped(reading),
      })),
    )
    context.record({
      chainId: stored.systemId,
      kind: 'pressure-readings-recorded',
      subjectId: stored.test.id,
      jobId: stored.test.jobId,
      facts: seals,
    })
    return findPressureTest(scope, stored.test.id)
  },
})

export const recordVacuumReadings = defineCommand({
  name: 'record-vacuum-readings',
  summary: 'Record readings of a running evacuation, all or nothing.',
  capability: 'record-work',
  input: z.strictObject({
    evacuationId: id,
    readings: several(
      z.strictObject({
        ...common,
        phase: z.enum(VACUUM_PHASES, { error: () => say.tests.useOneOf(VACUUM_PHASES.join(', ')) }),
        // Nitrogen let in to break the vacuum stays near the air's pressure.
        absolutePressure: absolutePressure({ max: 1e6 }),
        temperature: temperature().optional(),
      }),
    ),
  }),
  async handle(scope, input, context): Promise<StoredEvacuation> {
    await lockSectionTest(scope, input.evacuationId)
    const stored = await findEvacuation(scope, input.evacuationId)
    await findOpenJob(scope, stored.test.jobId)
    assertRunning(stored)
    for (const [index, reading] of input.readings.entries()) {
      if (reading.instrumentId !== undefined)
        await instrumentFor(scope, `readings.${index}.instrumentId`, reading.instrumentId, GAUGES.evacuation)
    }
    const seals = await appendReadings(
      scope,
      context,
      stored.test.id,
      input.readings.map((reading) => ({
        ...reading,
        pressurePa: reading.absolutePressure.si,
        temperatureK: reading.temperature?.si ?? null,
        typed: asTyped(reading),
      })),
    )
    context.record({
      chainId: stored.systemId,
      kind: 'vacuum-readings-recorded',
      subjectId: stored.test.id,
      jobId: stored.test.jobId,
      facts: seals,
    })
    return findEvacuation(scope, stored.test.id)
  },
})

interface ReadingToAppend {
  id?: string | undefined
  at?: number | undefined
  phase: PressureStage | VacuumPhase
  pressurePa: number
  temperatureK: number | null
  instrumentId?: string | undefined
  thermometerInstrumentId?: string | undefined
  typed: ReturnType<typeof asTyped>
}

export async function appendReadings(
  scope: Scope,
  context: Context,
  testId: string,
  readings: ReadingToAppend[],
): Promise<FactSeal[]> {
  const seals: FactSeal[] = []
  const used = new Set<string>()
  for (const [index, reading] of readings.entries()) {
    const readingId = reading.id ?? context.newId()
    if (used.has(readingId)) throw malformedField(`readings.${index}.id`, say.tests.twoReadingsHaveThe)
    used.add(readingId)
    seals.push(
      await appendFact(scope, 'sectionReadings', {
        companyId: scope.companyId,
        id: readingId,
        testId,
        at: notFuture(`readings.${index}.at`, reading.at ?? context.enteredAt, context.now),
        phase: reading.phase,
        pressurePa: reading.pressurePa,
        temperatureK: reading.temperatureK,
        instrumentId: reading.instrumentId ?? null,
        thermometerInstrumentId: reading.thermometerInstrumentId ?? null,
        correctsId: null,
        typed: reading.typed,
        recordedBy: context.actor.memberId,
        recordedAt: context.now,
        deviceAt: context.deviceAt,
      }),
    )
  }
  return seals
}
