// Standing pressure tests: set up, read, concluded.

import type { FormState } from '../../views/parts/field.tsx'
import { NewPressureTestPage } from '../../views/section-tests/new-pressure-test.tsx'
import { PressureTestPage, type Warmest } from '../../views/section-tests/pressure-test.tsx'
import { concludePressureTest } from '../commands/section-tests/conclude.ts'
import { recordPressureReadings } from '../commands/section-tests/record-readings.ts'
import { startPressureTest } from '../commands/section-tests/start-pressure-test.ts'
import { newId } from '../ids.ts'
import type { Refusal } from '../refusals.ts'
import type { Instrument } from '../rules/dossier.ts'
import { ASSUMED_ERROR, errorOf } from '../rules/instrument-error.ts'
import {
  judgePressureTest,
  type PressureTestJudgement,
  pressureLimit,
  requiredTestPressure,
} from '../rules/judge-pressure-test.ts'
import { nextInPressureTest } from '../rules/next-in-test.ts'
import { loadForJudging, type SystemForJudging } from '../store/queries/judging.ts'
import { findPressureTest, type StoredPressureTest } from '../store/queries/section-tests.ts'
import { absoluteFromGauge, gaugeFromAbsolute } from '../trade/atmosphere.ts'
import { endPressureAtConstantDensity, idealEndPressure } from '../trade/nitrogen.ts'
import { gaugePressureAtWarmest, highestFillGaugePressure } from '../trade/standing-pressure.ts'
import {
  formatQuantity,
  type PressureUnit,
  parseNumber,
  TEMPERATURE_UNITS,
  type TemperatureUnit,
  toKelvins,
} from '../trade/units.ts'
import { say } from '../words/say.ts'
import { correctedFact } from './correction-form.ts'
import { endingsOf, withToday } from './endings.ts'
import { explainHold } from './explanations.ts'
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
  orNull,
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

export function pressureTestsResource(resource: Resource): void {
  resource.read({
    path: '/systems/:systemId/pressure-tests/new',
    name: 'new-pressure-test',
    summary: 'The form that starts a pressure test.',
    capability: 'record-work',
    load: (ask) => loadForJudging(ask.scope, ask.params.systemId ?? ''),
    page: (data, ask) => newPage(ask, data),
  })

  resource.write({
    path: '/systems/:systemId/pressure-tests',
    command: startPressureTest,
    status: 201,
    json: withToday(pressureTestJson),
    page: {
      input: (fields) => {
        const input = expand(fields)
        const tracer = input.tracer as { fraction?: unknown } | undefined
        // The form asks for percent.
        if (tracer && typeof tracer.fraction === 'number') tracer.fraction /= 100
        return { ...input, ...(input.covers ? { covers: listOf(input.covers) } : {}) }
      },
      goTo: (stored) => `/pressure-tests/${stored.test.id}`,
      again: async (form, refusal, ask) =>
        newPage(ask, await loadForJudging(ask.scope, ask.params.systemId ?? ''), form, refusal),
    },
  })

  resource.read({
    path: '/pressure-tests/:pressureTestId',
    name: 'pressure-test',
    summary:
      'A pressure test with its readings, its verdict once it is concluded, and what the record says of it today.',
    load: (ask) => findPressureTest(ask.scope, ask.params.pressureTestId ?? ''),
    json: withToday(pressureTestJson),
    page: (stored, ask) => testPage(ask, stored),
  })

  resource.write({
    path: '/pressure-tests/:pressureTestId/readings',
    command: recordPressureReadings,
    status: 201,
    wraps: 'readings',
    json: withToday(pressureTestJson),
    page: {
      input: (fields) => ({ readings: listOf(expand(fields).readings) }),
      goTo: (stored) => `/pressure-tests/${stored.test.id}`,
      again: (form, refusal, ask) => pressureTestAgain(ask, ask.params.pressureTestId ?? '', form, refusal),
    },
  })

  resource.write({
    path: '/pressure-tests/:pressureTestId/conclude',
    command: concludePressureTest,
    json: withToday(pressureTestJson),
    page: {
      goTo: (stored) => `/pressure-tests/${stored.test.id}`,
      again: (form, refusal, ask) => pressureTestAgain(ask, ask.params.pressureTestId ?? '', form, refusal),
    },
  })
}

export function pressureTestJson(stored: StoredPressureTest) {
  const { test } = stored
  return {
    ...sectionTestJson(stored),
    medium: test.medium,
    tracer: test.tracer,
    thermometerInstrumentId: test.thermometerInstrumentId,
    absoluteAtmosphericPressure: { value: test.atmosphericPressurePa, unit: 'Pa' },
    atmosphericPressureSource: stored.atmosphericPressureSource,
    conditions: test.conditions,
    readings: test.readings.map((reading) => ({
      id: reading.id,
      at: instant(reading.at),
      stage: reading.stage,
      gaugePressure: stored.readingsTyped[reading.id]?.gaugePressure,
      temperature: stored.readingsTyped[reading.id]?.temperature,
      instrumentId: reading.instrumentId,
      thermometerInstrumentId: reading.thermometerInstrumentId,
    })),
    verdict: test.verdict,
    ...(stored.conclusion
      ? {
          ...pressureJudgementJson(
            stored.conclusion.result as unknown as PressureTestJudgement,
            unitOf(stored),
          ),
          policyVersion: stored.conclusion.policyVersion,
        }
      : {}),
  }
}

/** Pressures in the caller's unit; leaks as throughput of test gas, and as refrigerant a year, an estimate. */
export function pressureJudgementJson(judgement: PressureTestJudgement, unit: PressureUnit) {
  const pressure = (pressurePa: number | null | undefined) => quantityJson('pressure', pressurePa, unit)
  const perYear = (kgPerYear: number | null) => quantityJson('mass-rate', kgPerYear, 'g/yr')
  return {
    verdict: judgement.verdict,
    expectedGaugePressure: pressure(judgement.expectedGaugePressurePa),
    idealGasGaugePressure: pressure(judgement.idealGasGaugePressurePa),
    change: pressure(judgement.changePa),
    changeUncertainty: pressure(judgement.changeUncertaintyPa),
    largestUnseenFall: pressure(judgement.bandPa),
    leakRate: plainJson(judgement.leakRatePaM3PerS, 'Pa.m3/s'),
    smallestSeenLeak: plainJson(judgement.smallestSeenLeakPaM3PerS, 'Pa.m3/s'),
    refrigerantPerYear: perYear(judgement.refrigerantKgPerYear),
    smallestSeenRefrigerantPerYear: perYear(judgement.smallestSeenRefrigerantKgPerYear),
    requiredGaugePressure: pressure(judgement.required?.pressurePa),
    requiredSource: judgement.required?.source ?? null,
    limitGaugePressure: pressure(judgement.limit?.pressurePa),
    limitSource: judgement.limit?.source ?? null,
    hold: { value: judgement.holdS / 60, unit: 'min' },
    requiredHold: { value: judgement.requiredHoldS / 60, unit: 'min' },
    gasLaw: judgement.law,
    method: judgement.method,
    internalVolume: quantityJson('volume', judgement.volumeM3, 'L'),
    reasons: judgement.reasons,
    notes: judgement.notes,
  }
}

/** The unit of the first hold reading, or of the first reading at all. */
function unitOf({ test, readingsTyped }: StoredPressureTest): PressureUnit {
  const first = test.readings.find((reading) => reading.stage === 'hold') ?? test.readings[0]
  return unitTyped<PressureUnit>(readingsTyped[first?.id ?? ''], 'gaugePressure') ?? 'Pa'
}

const airWords = (): Record<StoredPressureTest['atmosphericPressureSource'], string> => ({
  entered: say.tests.asEntered,
  'elevation-entered': say.tests.fromTheHeightEntered,
  'site-elevation': say.tests.fromTheSitesHeight,
  'sea-level': say.tests.atSeaLevelSince,
})

async function newPage(
  ask: Ask,
  { system, policy, site }: SystemForJudging,
  form?: FormState,
  refusal?: Refusal,
) {
  const endings = await endingsOf(ask.scope, { system, policy }, system.pressureTests)
  const earlier = system.pressureTests.flatMap((test) => {
    const ending = endings.get(test.id)
    const passes = ending?.verdict === 'holds' && ending.verdictToday === 'holds'
    return !ending || ending.verdict === null || passes ? [] : [briefly(test, ending)]
  })
  const jobs = await jobOptions(ask.scope, system.id, ask.query.jobId)
  const here = { systemId: system.id, memberId: ask.actor.memberId }
  return NewPressureTestPage({
    shell: shellOf(ask.actor, '/jobs'),
    system: { id: system.id, name: system.name },
    freshId: form?.values.id ?? newId(),
    jobs,
    jobId: ask.query.jobId ?? '',
    settleMinutes: policy.criteria.pressure.settleS / 60,
    photosOnceStarted: await photosOnceStarted(ask, 'pressure-test', system.name, jobs),
    sections: sectionChoices(system),
    gauges: await instrumentOptions(ask.scope, ['pressure-gauge'], here),
    thermometers: await instrumentOptions(ask.scope, ['thermometer'], here),
    crew: await crewOptions(ask.scope),
    earlier,
    repeatOf: ask.query.repeatOf ?? '',
    required: orNull(() => requiredTestPressure(system)),
    limit: pressureLimit(system),
    elevationM: site.elevationM,
    holdMinutes: policy.criteria.pressure.holdS / 60,
    form,
    refused: refusedWhole(refusal),
  })
}

/** The page with a form as it was filled in, and what stands against it. */
export async function pressureTestAgain(ask: Ask, id: string, form: FormState, refusal: Refusal) {
  return testPage(ask, await findPressureTest(ask.scope, id), form, refusal)
}

async function testPage(ask: Ask, stored: StoredPressureTest, came?: FormState, refusal?: Refusal) {
  const form = correctedFact(came) === null ? came : undefined
  const { test } = stored
  const { system, policy } = await loadForJudging(ask.scope, stored.systemId)
  const instruments = await instrumentsUsed(ask.scope, test)
  const today = judgePressureTest(test, system, { policy: policy.criteria, instruments })
  const judgement = stored.conclusion ? (stored.conclusion.result as unknown as PressureTestJudgement) : today
  const name = (id: string | null) => instruments.find((one) => one.id === id)?.name ?? null
  const last = test.readings.at(-1)
  const typed = stored.readingsTyped[last?.id ?? '']
  const unit =
    unitTyped<PressureUnit>(stored.readingsTyped[test.readings[0]?.id ?? ''], 'gaugePressure') ?? 'MPa'
  const temperatureUnit = unitTyped<TemperatureUnit>(typed, 'temperature') ?? 'degC'
  const choices = {
    unit,
    temperatureUnit,
    gauges: await instrumentOptions(ask.scope, ['pressure-gauge']),
    thermometers: await instrumentOptions(ask.scope, ['thermometer']),
  }
  return PressureTestPage({
    shell: shellOf(ask.actor, '/jobs'),
    now: ask.now,
    mayRecord: await mayRecordOn(ask, test.jobId),
    settleMinutes: policy.criteria.pressure.settleS / 60,
    test: {
      id: test.id,
      systemId: system.id,
      systemName: system.name,
      jobId: test.jobId,
      sections: sectionNames(test.covers, system),
      medium: test.medium,
      startedAt: test.performedAt,
      concludedAt: test.concludedAt,
      gauge: name(test.gaugeInstrumentId) ?? say.tests.aGauge,
      thermometer: name(test.thermometerInstrumentId),
      air: `${formatQuantity(test.atmosphericPressurePa / 1000, 'kPa')}, ${airWords()[stored.atmosphericPressureSource]}`,
      repeatCause: test.repeatCause,
    },
    readings: test.readings.map((reading) => ({
      id: reading.id,
      at: reading.at,
      stage: reading.stage,
      gaugePressurePa: reading.gaugePressurePa,
      temperatureK: reading.temperatureK,
      typed: stored.readingsTyped[reading.id] ?? {},
    })),
    judgement,
    next: nextInPressureTest(test.readings, judgement, policy.criteria.pressure.settleS),
    logs: await takenLogsOf(ask.scope, test.id),
    verdictNow: today.verdict === judgement.verdict ? null : today.verdict,
    expected: expectedBand(stored, judgement),
    worked: explainHold(test, system, judgement, { policy: policy.criteria, instruments, unit }),
    recorded: await recordedReadings(ask, 'pressure', stored, choices, came),
    ...choices,
    warmest: atWarmest(ask, stored, judgement, instruments, temperatureUnit),
    photos: await photosOfTest(ask, {
      kind: 'pressure-test',
      id: test.id,
      jobId: test.jobId,
      systemName: system.name,
    }),
    form,
    refused: refusedWhole(refusal),
  })
}

/** What the temperature of each reading alone would have made of the first hold reading. */
function expectedBand({ test }: StoredPressureTest, judgement: PressureTestJudgement) {
  const hold = test.readings.filter((reading) => reading.stage === 'hold')
  const [first] = hold
  if (!first) return []
  const uncertaintyPa = judgement.changeUncertaintyPa ?? 0
  const law = judgement.law === 'ideal-gas' ? idealEndPressure : endPressureAtConstantDensity
  return (
    orNull(() =>
      hold.map((reading) => {
        const expectedPa = gaugeFromAbsolute(
          law({
            startPressurePa: absoluteFromGauge(first.gaugePressurePa, test.atmosphericPressurePa),
            startTemperatureK: first.temperatureK,
            endTemperatureK: reading.temperatureK,
          }),
          test.atmosphericPressurePa,
        )
        return { at: reading.at, lowPa: expectedPa - uncertaintyPa, highPa: expectedPa + uncertaintyPa }
      }),
    ) ?? []
  )
}

function atWarmest(
  ask: Ask,
  { test, readingsTyped }: StoredPressureTest,
  judgement: PressureTestJudgement,
  instruments: readonly Instrument[],
  unit: TemperatureUnit,
): Warmest {
  const last = test.readings.at(-1)
  const known = readingsTyped[last?.id ?? '']?.temperature
  const values: Record<string, string> = {
    'at.value': ask.query['at.value'] ?? (known ? String(known.value) : ''),
    'at.unit': ask.query['at.unit'] ?? known?.unit ?? unit,
    'warmest.value': ask.query['warmest.value'] ?? '',
    'warmest.unit': ask.query['warmest.unit'] ?? unit,
  }
  const form: FormState = { values, errors: [], scope: 'warmest' }
  const kelvins = (name: string): number | null => {
    const value = parseNumber(values[`${name}.value`] ?? '')
    const asked = TEMPERATURE_UNITS.find((one) => one === values[`${name}.unit`])
    return value === null || asked === undefined ? null : orNull(() => toKelvins({ value, unit: asked }))
  }
  const temperatureK = kelvins('at')
  const warmestK = kelvins('warmest')
  if (temperatureK === null || warmestK === null) return { form, answer: null }
  const atmosphericPressurePa = test.atmosphericPressurePa
  const nothing = { temperatureK, warmestK, pressurePa: null, highestFillPa: null }
  try {
    const gauge = instruments.find((one) => one.id === test.gaugeInstrumentId)
    const limitPa = judgement.limit?.pressurePa ?? null
    return {
      form,
      answer: {
        ...nothing,
        pressurePa: last
          ? gaugePressureAtWarmest({
              gaugePressurePa: last.gaugePressurePa,
              temperatureK: last.temperatureK,
              warmestTemperatureK: warmestK,
              atmosphericPressurePa,
            })
          : null,
        highestFillPa:
          limitPa === null
            ? null
            : highestFillGaugePressure({
                limitPressurePa: limitPa,
                gaugeAccuracyPa: errorOf(gauge, limitPa, { fraction: ASSUMED_ERROR.gaugeFraction }).accuracy,
                temperatureK,
                warmestTemperatureK: warmestK,
                atmosphericPressurePa,
              }),
        because: null,
      },
    }
  } catch (problem) {
    const because = problem instanceof Error ? problem.message : String(problem)
    return { form, answer: { ...nothing, because: say.tests.thisCantBeWorked(because) } }
  }
}
