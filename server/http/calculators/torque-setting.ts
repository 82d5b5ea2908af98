// What is to be set on a wrench, and what did a nut get?

import { z } from 'zod'
import { length, signedLength, torque } from '../../commands/quantities.ts'
import { judgeTorque, recommendedSetting, type TorqueVerdict } from '../../trade/torque.ts'
import { fromSi, type LengthUnit, type TorqueUnit, UNIT_LABELS } from '../../trade/units.ts'
import { DECISION_RULES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCalculator, figure, inOther, inUnit, spanOf } from '../calculator.ts'
import { quantityJson } from '../json.ts'
import { torqueSteps } from '../worked-steps.ts'

/** Setting tools above 10 N·m (ISO 6789:2003 by a wrench maker's summary; carry-over into 2017 from memory). */
const USUAL_ACCURACY_PERCENT = 4

const theVerdicts = (): Record<TorqueVerdict, string> => ({
  'in-range': say.calculators.inRange,
  low: say.calculators.tooLowPullUp,
  high: say.calculators.tooHighInspectFlare,
  'not-proven': say.calculators.inRangeButNot,
})

export const torqueSetting = defineCalculator({
  path: 'torque-setting',
  summary:
    'What to set on a wrench, with an adapter, for a torque range at the nut; and what a reading means.',
  input: z.strictObject({
    low: torque(),
    high: torque(),
    wrenchAccuracyPercent: z
      .number({ error: () => say.calculators.enterANumber })
      .min(0, { error: () => say.calculators.between0And50 })
      .max(50, { error: () => say.calculators.between0And50 })
      .optional(),
    decisionRule: z.enum(DECISION_RULES).optional(),
    adapter: z
      .strictObject({
        offset: signedLength(),
        wrenchLength: length(),
        angleDegrees: z
          .number({ error: () => say.calculators.enterANumber })
          .min(-180)
          .max(180)
          .optional(),
      })
      .optional(),
    /** What the wrench showed or was set to. */
    reading: torque().optional(),
  }),
  compute: (input) => {
    const adapter = input.adapter && {
      offsetM: input.adapter.offset.si,
      wrenchLengthM: input.adapter.wrenchLength.si,
      angleDegrees: input.adapter.angleDegrees ?? 0,
    }
    const accuracyPercent = input.wrenchAccuracyPercent ?? USUAL_ACCURACY_PERCENT
    const range = { rangeLowNm: input.low.si, rangeHighNm: input.high.si }
    const { reading } = input
    const judge = (decisionRule: 'simple' | 'guarded') =>
      reading === undefined
        ? null
        : judgeTorque({
            ...range,
            readingNm: reading.si,
            indication: 'read',
            accuracyPercent,
            adapter,
            decisionRule,
          })
    return {
      unit: input.low.unit as TorqueUnit,
      range,
      accuracyPercent,
      accuracyGiven: input.wrenchAccuracyPercent !== undefined,
      adapter,
      lengthUnit: (input.adapter?.wrenchLength.unit ?? 'mm') as LengthUnit,
      readingNm: reading?.si,
      setting: recommendedSetting({
        ...range,
        accuracyPercent: input.wrenchAccuracyPercent,
        decisionRule: input.decisionRule,
        adapter,
      }),
      simple: judge('simple'),
      guarded: judge('guarded'),
    }
  },
  fieldOf: ({ quantity }) =>
    ({
      'upper torque limit': 'high',
      'adapter offset': 'adapter.offset',
      'wrench length': 'adapter.wrenchLength',
    })[quantity],
  json: ({ unit, setting, simple, guarded }) => {
    const inIts = (torqueNm: number) => quantityJson('torque', torqueNm, unit)
    return {
      target: inIts(setting.targetNm),
      setting: inIts(setting.settingNm),
      acceptance: { low: inIts(setting.acceptance.lowNm), high: inIts(setting.acceptance.highNm) },
      acceptanceEmpty: setting.acceptanceEmpty,
      ...(simple && guarded
        ? {
            applied: inIts(simple.appliedNm),
            uncertainty: inIts(simple.uncertaintyNm),
            probabilityInRange: simple.probabilityInRange,
            verdicts: { simple: simple.verdict, guarded: guarded.verdict },
          }
        : {}),
    }
  },
  explain: (answer) => {
    const { unit, setting, simple, guarded, adapter, range } = answer
    const label = UNIT_LABELS[unit]
    const at = (torqueNm: number) => fromSi('torque', torqueNm, unit)
    const shownNm = simple?.appliedNm ?? setting.targetNm
    const lengthIn = (lengthM: number) =>
      `${figure(fromSi('length', lengthM, answer.lengthUnit))} ${UNIT_LABELS[answer.lengthUnit]}`
    return {
      judged: [
        {
          label: simple ? say.calculators.torqueAtTheNut : say.calculators.aimedAtAtThe,
          value: figure(at(shownNm)),
          unit: label,
          at: at(shownNm),
          low: at(range.rangeLowNm),
          high: at(range.rangeHighNm),
          whisker: spanOf(at(shownNm), at(shownNm) * (answer.accuracyPercent / 100)),
          verdict: simple ? theVerdicts()[simple.verdict] : say.calculators.theMiddleOfThe,
          outcome: simple === null || simple.verdict === 'in-range' ? 'met' : 'failed',
          also: inOther('torque', shownNm, unit),
          source: answer.accuracyGiven
            ? say.calculators.asEntered
            : say.calculators.asEnteredWrenchTaken(USUAL_ACCURACY_PERCENT),
        },
      ],
      facts: [
        {
          label: say.calculators.setTheWrenchTo,
          value: inUnit('torque', setting.settingNm, unit),
          note: inOther('torque', setting.settingNm, unit),
          main: true,
        },
        ...(simple && guarded
          ? [
              { label: say.calculators.byTheSimpleRule, value: theVerdicts()[simple.verdict] },
              { label: say.calculators.byTheGuardedRule, value: theVerdicts()[guarded.verdict] },
            ]
          : []),
      ],
      adapter: adapter && {
        wrenchLength: lengthIn(adapter.wrenchLengthM),
        offset: lengthIn(Math.abs(adapter.offsetM)),
        ratio: adapter.offsetM / adapter.wrenchLengthM,
        angleDegrees: adapter.angleDegrees,
      },
      worked: torqueSteps({
        unit,
        lowNm: range.rangeLowNm,
        highNm: range.rangeHighNm,
        adapter,
        accuracyPercent: answer.accuracyPercent,
        readingNm: answer.readingNm,
        acceptance: setting.acceptance,
        probabilityInRange: simple?.probabilityInRange,
      }),
    }
  },
})
