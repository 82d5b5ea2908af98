// How does an audit show a pressure test or an evacuation: its curve, and its numbers beside what they were judged by?

import type { DecayPlotProps } from '../../views/parts/decay-plot.tsx'
import type { FactsProps } from '../../views/parts/facts.tsx'
import type { PressurePlotProps } from '../../views/parts/pressure-plot.tsx'
import {
  coverWords,
  kilopascalWords,
  leakWords,
  minutesWords,
  pressureVerdictWords,
  pressureWords,
  vacuumVerdictWords,
  vacuumWords,
} from '../certificate/words.ts'
import type { Dossier, Evacuation, PressureTest, System } from '../rules/dossier.ts'
import { judgeEvacuationTest } from '../rules/judge-evacuation.ts'
import { judgePressureTest } from '../rules/judge-pressure-test.ts'
import { moment } from '../rules/wording.ts'
import { formatQuantity, fromKelvins, fromPascals } from '../trade/units.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { endingWords } from './endings.ts'
import { sectionNames } from './section-tests.ts'

export interface AuditedTest {
  kind: 'pressure-test' | 'evacuation'
  id: string
  title: string
  href: string
  /** The verdict as the record stands today. */
  passes: boolean
  verdict: string
  /** What it was when it was concluded, where that was another. */
  concluded: string | null
  reasons: readonly string[]
  facts: FactsProps['facts']
  pressure?: PressurePlotProps | undefined
  decay?: DecayPlotProps | undefined
  /** What the crew's usual is compared with: seconds held, or the lowest pressure. */
  figure: number | null
}

const timeOfDay = (at: number) => moment(at).slice(11)

export function auditedPressureTest(test: PressureTest, system: System, dossier: Dossier): AuditedTest {
  const judged = judgePressureTest(test, system, dossier)
  const zero = judged.startAtMs ?? test.performedAt
  const minutes = (at: number) => (at - zero) / 60_000
  const megapascals = (pressurePa: number) => fromPascals(pressurePa, 'MPa')
  const verdict =
    test.concludedAt === null ? say.auditTests.notConcluded : pressureVerdictWords()[judged.verdict]
  const covers = coverWords(sectionNames(test.covers, system))
  const { startAtMs, endAtMs, startGaugePressurePa, endGaugePressurePa } = judged
  const { expectedGaugePressurePa, changePa, changeUncertaintyPa, bandPa } = judged
  const named = (id: string | null) =>
    dossier.instruments.find((one) => one.id === id)?.name ?? say.auditTests.notNamed
  return {
    kind: 'pressure-test',
    id: test.id,
    title: say.auditTests.pressureTestOf(covers, moment(test.performedAt)),
    href: `/pressure-tests/${test.id}`,
    passes: judged.verdict === 'holds' && test.concludedAt !== null,
    verdict,
    concluded:
      test.concludedAt === null || test.verdict === null || test.verdict === judged.verdict
        ? null
        : endingWords({ verdict: test.verdict, verdictToday: judged.verdict }),
    reasons: judged.reasons.map(({ text }) => text),
    facts: [
      { label: say.auditTests.verdict, value: verdict },
      {
        label: say.auditTests.held,
        value: minutesWords(judged.holdS),
        note: say.auditTests.askedFor(minutesWords(judged.requiredHoldS)),
      },
      ...(startGaugePressurePa === null || endGaugePressurePa === null
        ? []
        : [
            {
              label: say.auditTests.fromAndTo,
              value: say.auditTests.to(
                pressureWords(startGaugePressurePa),
                pressureWords(endGaugePressurePa),
              ),
              ...(judged.required
                ? {
                    note: say.auditTests.askedFor2(
                      pressureWords(judged.required.pressurePa),
                      judged.required.source,
                    ),
                  }
                : {}),
            },
          ]),
      ...(changePa === null || changeUncertaintyPa === null || bandPa === null
        ? []
        : [
            {
              label: say.auditTests.changeBeyondTemperature,
              value: say.auditTests.sureTo(kilopascalWords(changePa), kilopascalWords(changeUncertaintyPa)),
              note: say.auditTests.mayStayUnseen(kilopascalWords(bandPa)),
            },
          ]),
      ...(judged.smallestSeenRefrigerantKgPerYear === null
        ? []
        : [
            {
              label: say.auditTests.smallestLeakSeen,
              value: leakWords(judged.smallestSeenRefrigerantKgPerYear),
              note: say.auditTests.anEstimate,
            },
          ]),
      {
        label: say.auditTests.gasAndInstruments,
        value: `${coded(test.medium)}, ${named(test.gaugeInstrumentId)}, ${named(test.thermometerInstrumentId)}`,
      },
      ...(test.repeatCause === null
        ? []
        : [{ label: say.auditTests.repeatsOneThatFailed, value: test.repeatCause }]),
    ],
    pressure: {
      id: `pressure-${test.id}`,
      title: say.auditTests.pressureTestOf2(covers),
      unit: 'MPa',
      readings: test.readings.map((reading) => ({
        minutes: minutes(reading.at),
        stage: reading.stage,
        gaugePressure: megapascals(reading.gaugePressurePa),
        pressureTyped: formatQuantity(megapascals(reading.gaugePressurePa), 'MPa'),
        temperatureTyped: formatQuantity(fromKelvins(reading.temperatureK, 'degC'), 'degC'),
        atWords: timeOfDay(reading.at),
      })),
      expected:
        startAtMs === null ||
        endAtMs === null ||
        startGaugePressurePa === null ||
        expectedGaugePressurePa === null ||
        changeUncertaintyPa === null
          ? undefined
          : [
              {
                minutes: minutes(startAtMs),
                low: megapascals(startGaugePressurePa),
                high: megapascals(startGaugePressurePa),
              },
              {
                minutes: minutes(endAtMs),
                low: megapascals(expectedGaugePressurePa - changeUncertaintyPa),
                high: megapascals(expectedGaugePressurePa + changeUncertaintyPa),
              },
            ],
      testPressure: judged.required
        ? {
            value: megapascals(judged.required.pressurePa),
            label: say.auditTests.testPressure(
              formatQuantity(megapascals(judged.required.pressurePa), 'MPa'),
            ),
          }
        : undefined,
      longEnough: { minutes: judged.requiredHoldS / 60, label: minutesWords(judged.requiredHoldS) },
      verdict,
    },
    figure: test.concludedAt === null ? null : judged.holdS,
  }
}

export function auditedEvacuation(test: Evacuation, system: System, dossier: Dossier): AuditedTest {
  const judged = judgeEvacuationTest(test, system, dossier)
  const zero = judged.isolatedAtMs ?? test.performedAt
  const minutes = (at: number) => (at - zero) / 60_000
  const micron = (pressurePa: number) => fromPascals(pressurePa, 'micron')
  const last = Math.max(0, ...test.readings.map((reading) => minutes(reading.at)))
  const fitted = judged.curve?.points.filter((point) => point.timeS / 60 <= last) ?? []
  const verdict =
    test.concludedAt === null ? say.auditTests.notConcluded : vacuumVerdictWords()[judged.verdict]
  const covers = coverWords(sectionNames(test.covers, system))
  const { targetPa, limitPa, holdS } = judged.criteria
  const gauge =
    dossier.instruments.find((one) => one.id === test.gaugeInstrumentId)?.name ?? say.auditTests.notNamed
  return {
    kind: 'evacuation',
    id: test.id,
    title: say.auditTests.evacuationOf(covers, moment(test.performedAt)),
    href: `/evacuations/${test.id}`,
    passes: judged.verdict === 'tight' && test.concludedAt !== null,
    verdict,
    concluded:
      test.concludedAt === null || test.verdict === null || test.verdict === judged.verdict
        ? null
        : endingWords({ verdict: test.verdict, verdictToday: judged.verdict }),
    reasons: judged.reasons.map(({ text }) => text),
    facts: [
      { label: say.auditTests.verdict, value: verdict },
      {
        label: say.auditTests.isolated,
        value: minutesWords(judged.holdS),
        note: say.auditTests.askedFor(minutesWords(holdS.value)),
      },
      {
        label: say.auditTests.downTo,
        value:
          judged.lowestPressurePa === null ? say.auditTests.notKnown : vacuumWords(judged.lowestPressurePa),
        note: say.auditTests.target(vacuumWords(targetPa.value), targetPa.source),
      },
      {
        label: say.auditTests.roseBy,
        value: judged.riseInHoldPa === null ? say.auditTests.notKnown : vacuumWords(judged.riseInHoldPa),
        note: say.auditTests.limit(vacuumWords(limitPa.value), limitPa.source),
      },
      {
        label: say.auditTests.gauge,
        value: `${gauge}${test.gaugeAt === null ? '' : `, ${coded(test.gaugeAt)}`}`,
      },
      ...(test.repeatCause === null
        ? []
        : [{ label: say.auditTests.repeatsOneThatFailed, value: test.repeatCause }]),
    ],
    decay: {
      id: `decay-${test.id}`,
      title: say.auditTests.evacuationOf2(covers),
      unit: 'micron',
      readings: test.readings.map((reading) => ({
        minutes: minutes(reading.at),
        phase: reading.phase,
        absolutePressure: micron(reading.absolutePressurePa),
        pressureTyped: formatQuantity(micron(reading.absolutePressurePa), 'micron'),
        temperatureTyped:
          reading.temperatureK === null
            ? undefined
            : formatQuantity(fromKelvins(reading.temperatureK, 'degC'), 'degC'),
        atWords: timeOfDay(reading.at),
      })),
      fitted:
        fitted.length > 1
          ? {
              label: say.auditTests.curveThatFitsBest,
              points: fitted.map((point) => ({
                minutes: point.timeS / 60,
                absolutePressure: micron(point.pressurePa),
              })),
            }
          : undefined,
      limit: {
        value: micron(limitPa.value),
        label: say.auditTests.limit2(formatQuantity(micron(limitPa.value), 'micron')),
      },
      target: {
        value: micron(targetPa.value),
        label: say.auditTests.target2(formatQuantity(micron(targetPa.value), 'micron')),
      },
      longEnough: { minutes: holdS.value / 60, label: minutesWords(holdS.value) },
      verdict,
    },
    figure: test.concludedAt === null ? null : judged.lowestPressurePa,
  }
}
