// Is an evacuated section tight, moist or leaking, by its readings after it was isolated?

import { z } from 'zod'
import type { CurveProps } from '../../../views/parts/curve.tsx'
import type { FindingOutcome } from '../../../views/parts/mark.tsx'
import { moment } from '../../commands/fields.ts'
import { absolutePressure, temperature, volume } from '../../commands/quantities.ts'
import { readLog } from '../../gauge-logs/reading-log.ts'
import { tableOf } from '../../gauge-logs/table.ts'
import { textOf, UnreadableLog } from '../../gauge-logs/text.ts'
import { malformedField } from '../../refusals.ts'
import type { EvacuationJudgement } from '../../rules/judge-evacuation.ts'
import { type EvacuationVerdict, judgeEvacuation } from '../../trade/evacuation.ts'
import { formatNumber, fromSi, PRESSURE_UNITS, type PressureUnit, UNIT_LABELS } from '../../trade/units.ts'
import { say } from '../../words/say.ts'
import { builtIn, defineCalculator, figure, inOther, inUnit } from '../calculator.ts'
import { vacuumJudgementJson } from '../evacuations.ts'
import { expand } from '../form.ts'
import { decaySteps } from '../worked-decay.ts'

const { vacuum } = builtIn

export const decayVerdicts = (): Record<EvacuationVerdict, { words: string; outcome: FindingOutcome }> => ({
  tight: { words: say.calculators.tight, outcome: 'met' },
  moisture: { words: say.calculators.moistureOrGasLeaving, outcome: 'failed' },
  leak: { words: say.calculators.leak2, outcome: 'failed' },
  'cannot-tell': { words: say.calculators.cannotTell, outcome: 'open' },
})

const shapes = () =>
  ({
    level: say.worked.levelShape,
    line: say.worked.straightShape,
    saturating: say.worked.flatteningShape,
    both: say.calculators.flatteningWithAClimb,
  }) as const

export const vacuumDecay = defineCalculator({
  path: 'vacuum-decay',
  summary: 'Is an evacuated section tight, moist or leaking, by its readings after it was isolated?',
  input: z.strictObject({
    readings: z
      .array(
        z
          .strictObject({
            at: moment.optional(),
            minutes: z
              .number({ error: () => say.calculators.enterANumber })
              .min(0)
              .max(100_000)
              .optional(),
            absolutePressure: absolutePressure({ max: 1e6 }),
          })
          .refine((one) => (one.at === undefined) !== (one.minutes === undefined), {
            error: () => say.calculators.giveEitherTheMoment,
          }),
      )
      .min(1, { error: () => say.calculators.giveAtLeastOne })
      .max(500),
    temperature: temperature().optional(),
    internalVolume: volume().optional(),
    target: absolutePressure({ min: 1 }).optional(),
    riseLimit: absolutePressure({ min: 1 }).optional(),
    holdMinutes: z
      .number({ error: () => say.calculators.enterANumber })
      .min(0)
      .max(10_080)
      .optional(),
    gaugeResolution: absolutePressure({ max: 1000 }).optional(),
  }),
  compute: (input) => {
    const targetPa = input.target?.si ?? vacuum.targetPa
    const limitPa = input.riseLimit?.si ?? vacuum.limitPa
    const holdS = input.holdMinutes === undefined ? vacuum.holdS : input.holdMinutes * 60
    const readings = input.readings.map((reading) => ({
      atMs: reading.at ?? (reading.minutes ?? 0) * 60_000,
      phase: 'decay' as const,
      pressurePa: reading.absolutePressure.si,
      temperatureK: input.temperature?.si,
    }))
    const judged = judgeEvacuation({
      readings,
      targetPa,
      limitPa,
      holdS,
      horizonS: vacuum.horizonS,
      // One micron, what an electronic vacuum gauge shows (common practice, no source).
      gaugeResolutionPa: input.gaugeResolution?.si ?? 0.1333,
      volumeM3: input.internalVolume?.si,
    })
    const source = (given: unknown) =>
      given === undefined ? say.calculators.builtIn : say.calculators.asEntered
    const judgement: EvacuationJudgement = {
      ...judged,
      // Minutes without a moment were counted from nowhere.
      isolatedAtMs: input.readings.some((reading) => reading.at === undefined) ? null : judged.isolatedAtMs,
      criteria: {
        targetPa: { value: targetPa, source: source(input.target) },
        limitPa: { value: limitPa, source: source(input.riseLimit) },
        holdS: { value: holdS, source: source(input.holdMinutes) },
      },
      volumeM3: input.internalVolume?.si ?? null,
      volumeSource: say.calculators.asEntered,
      refrigerantKgPerYear: null,
      unseenRefrigerantKgPerYear: null,
    }
    return {
      judgement,
      readings,
      isolatedAtMs: judged.isolatedAtMs ?? 0,
      unit: (input.readings[0]?.absolutePressure.unit ?? 'Pa') as PressureUnit,
    }
  },
  fieldOf: ({ quantity }) => (quantity === 'volume' ? 'internalVolume' : undefined),
  json: ({ judgement, unit }) => {
    const {
      refrigerantPerYear: _r,
      unseenRefrigerantPerYear: _u,
      ...said
    } = vacuumJudgementJson(judgement, unit)
    return said
  },
  explain: (answer) => {
    const { judgement, unit } = answer
    const inIts = (pressurePa: number) => inUnit('pressure', pressurePa, unit)
    const at = (pressurePa: number) => fromSi('pressure', pressurePa, unit)
    const { curve, criteria } = judgement
    const verdict = decayVerdicts()[judgement.verdict]
    const atHorizon = judgement.fits.find((fit) => fit.kind === curve?.kind)?.atHorizonPa ?? null
    return {
      verdict: {
        ...verdict,
        reasons: [...judgement.reasons, ...judgement.notes].map((reason) => reason.text),
      },
      judged:
        atHorizon === null
          ? []
          : [
              {
                label: say.calculators.carriedOnToMin(formatNumber(vacuum.horizonS / 60)),
                value: figure(at(atHorizon.estimate), 3),
                unit: UNIT_LABELS[unit],
                at: at(atHorizon.estimate),
                high: Number(at(criteria.limitPa.value).toPrecision(4)),
                whisker: {
                  low: Number(at(Math.max(0, atHorizon.low)).toPrecision(3)),
                  high: Number(at(atHorizon.high).toPrecision(3)),
                },
                verdict: verdict.words,
                outcome: verdict.outcome,
                also: inOther('pressure', atHorizon.estimate, unit),
                source: say.calculators.limit(criteria.limitPa.source),
              },
            ],
      facts: [
        {
          label: say.calculators.rise,
          value: judgement.riseInHoldPa === null ? say.calculators.notKnown : inIts(judgement.riseInHoldPa),
          note: `in ${formatNumber(Number((judgement.holdS / 60).toFixed(1)))} min`,
        },
        {
          label: say.calculators.curve,
          value: curve ? shapes()[curve.kind] : say.calculators.tooFewReadings,
          note: curve?.plateauPa == null ? undefined : say.calculators.levelsOffAt(inIts(curve.plateauPa)),
        },
        ...(curve
          ? [{ label: say.calculators.steadyClimbEachMinute, value: inIts(curve.risePaPerS * 60) }]
          : []),
        ...(judgement.waterCeilingPa === null
          ? []
          : [{ label: say.calculators.waterAtTheWarmest, value: inIts(judgement.waterCeilingPa) }]),
        ...(judgement.leakRatePaM3PerS === null
          ? []
          : [{ label: say.calculators.leak, value: `${figure(judgement.leakRatePaM3PerS, 3)} Pa·m³/s` }]),
        ...(judgement.minutesToDecide === null
          ? []
          : [{ label: say.calculators.minutesStillNeeded, value: formatNumber(judgement.minutesToDecide) }]),
      ],
      plots: [plotOf(answer)],
      worked: decaySteps({ judgement, unit, horizonS: vacuum.horizonS }),
    }
  },
  fields: async (fields) => {
    const { readings, readingsUnit, ...input } = expand(fields)
    return { ...input, readings: await pasted(String(readings ?? ''), String(readingsUnit ?? 'micron')) }
  },
})

/** A table or a gauge's log, as it is read for a test; minutes count as they stand, clocks from the first. */
async function pasted(text: string, asked: string) {
  if (text.trim() === '') return []
  const unit = PRESSURE_UNITS.find((one) => one === asked) ?? 'micron'
  try {
    const log = readLog(
      await tableOf(textOf(new TextEncoder().encode(text))),
      {},
      {
        kind: 'vacuum',
        pressureUnit: unit,
        elseUnit: unit,
        temperatureUnit: 'degC',
        zone: 'UTC',
        // No test and no day: only what lies between the rows counts.
        startedAt: 0,
        now: Number.MAX_SAFE_INTEGER,
      },
    )
    const fault = log.faults.find((one) => !one.isHarmless)
    if (log.blocked ?? fault)
      throw new UnreadableLog(log.blocked?.why ?? say.calculators.row(fault?.line, fault?.why))
    const counts = ['s', 'min', 'h', 'h:mm:ss'].includes(log.read.timeAs)
    const start = counts ? 0 : (log.rows[0]?.at ?? 0)
    return log.rows.map((row) => ({ minutes: (row.at - start) / 60_000, absolutePressure: row.pressure }))
  } catch (problem) {
    if (problem instanceof UnreadableLog) throw malformedField('readings', problem.message)
    throw problem
  }
}

function plotOf(answer: {
  judgement: EvacuationJudgement
  readings: readonly { atMs: number; pressurePa: number }[]
  isolatedAtMs: number
  unit: PressureUnit
}): CurveProps {
  const { judgement, unit } = answer
  const { criteria, fits, curve } = judgement
  const y = (pressurePa: number) => fromSi('pressure', pressurePa, unit)
  const minutes = (atMs: number) => (atMs - answer.isolatedAtMs) / 60_000
  const readings = [...answer.readings].sort((a, b) => a.atMs - b.atMs)
  const last = Math.max(criteria.holdS.value / 60, ...readings.map((one) => minutes(one.atMs)))
  const highest = Math.max(criteria.limitPa.value, ...readings.map((one) => one.pressurePa)) * 1.15
  const drawn = (points: readonly { timeS: number; pressurePa: number }[]) =>
    points
      // Only what was watched: beyond it the four part company far outside the plot.
      .filter((one) => one.timeS / 60 <= last * 1.05 && one.pressurePa <= highest && one.pressurePa >= 0)
      .map((one) => ({ x: one.timeS / 60, y: y(one.pressurePa) }))
  return {
    id: 'plot-decay',
    title: say.calculators.pressureAfterItWas,
    desc: say.calculators.readingsTheCurvesThat(
      readings.length,
      curve ? say.calculators.ofWhichTheOne(shapes()[curve.kind]) : '',
    ),
    x: { label: say.calculators.minutesSinceIsolated },
    y: { label: say.calculators.absolutePressure(UNIT_LABELS[unit]), fromZero: true },
    readings: readings.map((one) => ({ x: minutes(one.atMs), y: y(one.pressurePa) })),
    fitted: curve
      ? { label: say.calculators.fitsBest(shapes()[curve.kind]), points: drawn(curve.points) }
      : undefined,
    others: fits
      .filter((fit) => fit.kind !== curve?.kind)
      .map((fit) => ({ label: shapes()[fit.kind], points: drawn(fit.points) }))
      .filter((one) => one.points.length > 1),
    criteria: [
      {
        value: y(criteria.limitPa.value),
        label: say.calculators.limit(inUnit('pressure', criteria.limitPa.value, unit)),
        kind: 'limit',
      },
      {
        value: y(criteria.targetPa.value),
        label: say.calculators.target(inUnit('pressure', criteria.targetPa.value, unit)),
        kind: 'target',
      },
    ],
    table: {
      columns: [say.calculators.minute, say.calculators.absolutePressure2],
      rows: readings.map((one) => [
        formatNumber(Number(minutes(one.atMs).toFixed(2))),
        inUnit('pressure', one.pressurePa, unit),
      ]),
    },
  }
}
