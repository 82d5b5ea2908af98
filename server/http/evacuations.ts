// Evacuations with their decay: set up, read, concluded.

import type { FormState } from '../../views/parts/field.tsx'
import { EvacuationPage } from '../../views/section-tests/evacuation.tsx'
import { NewEvacuationPage } from '../../views/section-tests/new-evacuation.tsx'
import { concludeEvacuation } from '../commands/section-tests/conclude.ts'
import { recordVacuumReadings } from '../commands/section-tests/record-readings.ts'
import { startEvacuation } from '../commands/section-tests/start-evacuation.ts'
import { newId } from '../ids.ts'
import type { Refusal } from '../refusals.ts'
import { type EvacuationJudgement, judgeEvacuationTest, vacuumCriteria } from '../rules/judge-evacuation.ts'
import { nextInEvacuation } from '../rules/next-in-test.ts'
import { loadForJudging, type SystemForJudging } from '../store/queries/judging.ts'
import { findEvacuation, type StoredEvacuation } from '../store/queries/section-tests.ts'
import type { PressureUnit, TemperatureUnit } from '../trade/units.ts'
import { say } from '../words/say.ts'
import { correctedFact } from './correction-form.ts'
import { endingsOf, withToday } from './endings.ts'
import { explainDecay } from './explanations.ts'
import { expand } from './form.ts'
import { instant, quantityJson } from './json.ts'
import { photosOfTest } from './photo-slots.ts'
import { recordedReadings } from './recorded-readings.ts'
import type { Ask, Resource } from './resource.ts'
import {
  briefly,
  crewOptions,
  instrumentOptions,
  instrumentsUsed,
  jobOptions,
  listOf,
  mayRecordOn,
  photosOnceStarted,
  plainJson,
  refusedWhole,
  sectionChoices,
  sectionNames,
  sectionTestJson,
  takenLogsOf,
  unitTyped,
} from './section-tests.ts'
import { shellOf } from './shell.ts'

export function evacuationsResource(resource: Resource): void {
  resource.read({
    path: '/systems/:systemId/evacuations/new',
    name: 'new-evacuation',
    summary: 'The form that starts an evacuation.',
    capability: 'record-work',
    load: (ask) => loadForJudging(ask.scope, ask.params.systemId ?? ''),
    page: (data, ask) => newPage(ask, data),
  })

  resource.write({
    path: '/systems/:systemId/evacuations',
    command: startEvacuation,
    status: 201,
    json: withToday(evacuationJson),
    page: {
      input: (fields) => {
        const input = expand(fields)
        return { ...input, ...(input.covers ? { covers: listOf(input.covers) } : {}) }
      },
      goTo: (stored) => `/evacuations/${stored.test.id}`,
      again: async (form, refusal, ask) =>
        newPage(ask, await loadForJudging(ask.scope, ask.params.systemId ?? ''), form, refusal),
    },
  })

  resource.read({
    path: '/evacuations/:evacuationId',
    name: 'evacuation',
    summary:
      'An evacuation with its readings, its verdict once it is concluded, and what the record says of it today.',
    load: (ask) => findEvacuation(ask.scope, ask.params.evacuationId ?? ''),
    json: withToday(evacuationJson),
    page: (stored, ask) => testPage(ask, stored),
  })

  resource.write({
    path: '/evacuations/:evacuationId/readings',
    command: recordVacuumReadings,
    status: 201,
    wraps: 'readings',
    json: withToday(evacuationJson),
    page: {
      input: (fields) => ({ readings: listOf(expand(fields).readings) }),
      goTo: (stored) => `/evacuations/${stored.test.id}`,
      again: (form, refusal, ask) => evacuationAgain(ask, ask.params.evacuationId ?? '', form, refusal),
    },
  })

  resource.write({
    path: '/evacuations/:evacuationId/conclude',
    command: concludeEvacuation,
    json: withToday(evacuationJson),
    page: {
      goTo: (stored) => `/evacuations/${stored.test.id}`,
      again: (form, refusal, ask) => evacuationAgain(ask, ask.params.evacuationId ?? '', form, refusal),
    },
  })
}

export function evacuationJson(stored: StoredEvacuation) {
  const { test } = stored
  return {
    ...sectionTestJson(stored),
    gaugeAt: test.gaugeAt,
    isolatedAt: test.isolatedAt,
    readings: test.readings.map((reading) => ({
      id: reading.id,
      at: instant(reading.at),
      phase: reading.phase,
      absolutePressure: stored.readingsTyped[reading.id]?.absolutePressure,
      temperature: stored.readingsTyped[reading.id]?.temperature ?? null,
      instrumentId: reading.instrumentId,
    })),
    verdict: test.verdict,
    ...(stored.conclusion
      ? {
          ...vacuumJudgementJson(stored.conclusion.result as unknown as EvacuationJudgement, unitOf(stored)),
          policyVersion: stored.conclusion.policyVersion,
        }
      : {}),
  }
}

/** Pressures in the caller's unit; rises per minute. */
export function vacuumJudgementJson(judgement: EvacuationJudgement, unit: PressureUnit) {
  const pressure = (pressurePa: number | null | undefined) => quantityJson('pressure', pressurePa, unit)
  const { curve, criteria } = judgement
  return {
    verdict: judgement.verdict,
    curve: curve && {
      kind: curve.kind,
      startPressure: pressure(curve.startPressurePa),
      risePerMinute: pressure(curve.risePaPerS * 60),
      plateau: pressure(curve.plateauPa),
      timeConstant: quantityJson('time', curve.timeConstantS, 'min'),
    },
    lowestPressure: pressure(judgement.lowestPressurePa),
    riseInHold: pressure(judgement.riseInHoldPa),
    hold: { value: judgement.holdS / 60, unit: 'min' },
    isolatedAt: judgement.isolatedAtMs === null ? null : instant(judgement.isolatedAtMs),
    leakRate: plainJson(judgement.leakRatePaM3PerS, 'Pa.m3/s'),
    refrigerantPerYear: quantityJson('mass-rate', judgement.refrigerantKgPerYear, 'g/yr'),
    unseenRefrigerantPerYear: quantityJson('mass-rate', judgement.unseenRefrigerantKgPerYear, 'g/yr'),
    minutesToDecide: judgement.minutesToDecide,
    waterVapourPressure: pressure(judgement.waterCeilingPa),
    target: pressure(criteria.targetPa.value),
    targetSource: criteria.targetPa.source,
    limit: pressure(criteria.limitPa.value),
    limitSource: criteria.limitPa.source,
    requiredHold: { value: criteria.holdS.value / 60, unit: 'min' },
    internalVolume: quantityJson('volume', judgement.volumeM3, 'L'),
    reasons: judgement.reasons,
    notes: judgement.notes,
  }
}

/** The unit of the first reading after isolating, or of the first reading at all. */
function unitOf({ test, readingsTyped }: StoredEvacuation): PressureUnit {
  const first = test.readings.find((reading) => reading.phase === 'decay') ?? test.readings[0]
  return unitTyped<PressureUnit>(readingsTyped[first?.id ?? ''], 'absolutePressure') ?? 'Pa'
}

async function newPage(ask: Ask, { system, policy }: SystemForJudging, form?: FormState, refusal?: Refusal) {
  const endings = await endingsOf(ask.scope, { system, policy }, system.evacuations)
  const earlier = system.evacuations.flatMap((test) => {
    const ending = endings.get(test.id)
    const passes = ending?.verdict === 'tight' && ending.verdictToday === 'tight'
    return !ending || ending.verdict === null || passes ? [] : [briefly(test, ending)]
  })
  const criteria = vacuumCriteria(system.sheet, policy.criteria)
  const jobs = await jobOptions(ask.scope, system.id, ask.query.jobId)
  return NewEvacuationPage({
    shell: shellOf(ask.actor, '/jobs'),
    system: { id: system.id, name: system.name },
    freshId: form?.values.id ?? newId(),
    jobs,
    jobId: ask.query.jobId ?? '',
    photosOnceStarted: await photosOnceStarted(ask, 'evacuation', system.name, jobs),
    sections: sectionChoices(system),
    gauges: await instrumentOptions(ask.scope, ['vacuum-gauge', 'pressure-gauge'], {
      systemId: system.id,
      memberId: ask.actor.memberId,
    }),
    crew: await crewOptions(ask.scope),
    earlier,
    repeatOf: ask.query.repeatOf ?? '',
    target: { pressurePa: criteria.targetPa.value, source: criteria.targetPa.source },
    limit: { pressurePa: criteria.limitPa.value, source: criteria.limitPa.source },
    holdMinutes: criteria.holdS.value / 60,
    form,
    refused: refusedWhole(refusal),
  })
}

/** The page with a form as it was filled in, and what stands against it. */
export async function evacuationAgain(ask: Ask, id: string, form: FormState, refusal: Refusal) {
  return testPage(ask, await findEvacuation(ask.scope, id), form, refusal)
}

async function testPage(ask: Ask, stored: StoredEvacuation, came?: FormState, refusal?: Refusal) {
  const form = correctedFact(came) === null ? came : undefined
  const { test } = stored
  const { system, policy } = await loadForJudging(ask.scope, stored.systemId)
  const instruments = await instrumentsUsed(ask.scope, test)
  const today = judgeEvacuationTest(test, system, { policy: policy.criteria, instruments })
  const judgement = stored.conclusion ? (stored.conclusion.result as unknown as EvacuationJudgement) : today
  const typed = test.readings.map((reading) => stored.readingsTyped[reading.id])
  const choices = {
    unit: unitTyped<PressureUnit>(typed[0], 'absolutePressure') ?? ('micron' as const),
    temperatureUnit:
      unitTyped<TemperatureUnit>(
        typed.find((one) => one?.temperature !== undefined),
        'temperature',
      ) ?? ('degC' as const),
    gauges: await instrumentOptions(ask.scope, ['vacuum-gauge', 'pressure-gauge']),
  }
  return EvacuationPage({
    shell: shellOf(ask.actor, '/jobs'),
    now: ask.now,
    mayRecord: await mayRecordOn(ask, test.jobId),
    test: {
      id: test.id,
      systemName: system.name,
      jobId: test.jobId,
      sections: sectionNames(test.covers, system),
      startedAt: test.performedAt,
      concludedAt: test.concludedAt,
      gauge: instruments.find((one) => one.id === test.gaugeInstrumentId)?.name ?? say.tests.aGauge,
      gaugeAt: test.gaugeAt,
      isolatedAt: test.isolatedAt,
      repeatCause: test.repeatCause,
    },
    readings: test.readings.map((reading) => ({
      id: reading.id,
      at: reading.at,
      phase: reading.phase,
      absolutePressurePa: reading.absolutePressurePa,
      typed: stored.readingsTyped[reading.id] ?? {},
    })),
    judgement,
    next: nextInEvacuation(test.readings, judgement),
    logs: await takenLogsOf(ask.scope, test.id),
    verdictNow: today.verdict === judgement.verdict ? null : today.verdict,
    recorded: await recordedReadings(ask, 'evacuation', stored, choices, came),
    ...choices,
    worked: explainDecay(test.readings, judgement, policy.criteria, choices.unit),
    photos: await photosOfTest(ask, {
      kind: 'evacuation',
      id: test.id,
      jobId: test.jobId,
      systemName: system.name,
    }),
    form,
    refused: refusedWhole(refusal),
  })
}
