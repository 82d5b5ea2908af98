// Did a standing pressure hold, once temperature and the instruments' errors are taken out?

import { z } from 'zod'
import type { CurveProps } from '../../../views/parts/curve.tsx'
import type { FindingOutcome } from '../../../views/parts/mark.tsx'
import { moment } from '../../commands/fields.ts'
import { gaugePressure, temperature, temperatureDifference, volume } from '../../commands/quantities.ts'
import type { PressureTestJudgement } from '../../rules/judge-pressure-test.ts'
import { absoluteFromGauge, gaugeFromAbsolute } from '../../trade/atmosphere.ts'
import { endPressureAtConstantDensity, idealEndPressure, NITROGEN_VALIDITY } from '../../trade/nitrogen.ts'
import { judgeStandingPressure, type StandingPressureVerdict } from '../../trade/standing-pressure.ts'
import { fromSi, type PressureUnit, UNIT_LABELS } from '../../trade/units.ts'
import { say } from '../../words/say.ts'
import {
  ASSUMED_GAUGE_PA,
  ASSUMED_THERMOMETER_K,
  airFields,
  airOf,
  builtIn,
  defineCalculator,
  exactly,
  figure,
  inOther,
  inUnit,
  refrigerantName,
  spanOf,
} from '../calculator.ts'
import { pressureJudgementJson } from '../pressure-tests.ts'
import { orNull } from '../section-tests.ts'
import { holdSteps } from '../worked-steps.ts'

export const holdFields = {
  medium: z.enum(['nitrogen', 'helium']).optional(),
  ...airFields,
  internalVolume: volume().optional(),
  gaugeUncertainty: gaugePressure({ min: 0 }).optional(),
  temperatureUncertainty: temperatureDifference().optional(),
  refrigerant: refrigerantName.optional(),
}

const testState = z.strictObject({ gaugePressure: gaugePressure(), temperature: temperature(), at: moment })

export const holdVerdicts = (): Record<
  StandingPressureVerdict,
  { words: string; outcome: FindingOutcome }
> => ({
  holds: { words: say.calculators.holds2, outcome: 'met' },
  falls: { words: say.calculators.falls, outcome: 'failed' },
  'cannot-tell': { words: say.calculators.cannotTell, outcome: 'open' },
  void: { words: say.calculators.voidWord, outcome: 'failed' },
})

const { pressure } = builtIn

export const pressureHold = defineCalculator({
  path: 'pressure-hold',
  summary: 'Did a standing pressure hold, once temperature and the instruments’ errors are taken out?',
  input: z.strictObject({ start: testState, end: testState, ...holdFields }),
  compute: (input) => {
    const medium = input.medium ?? 'nitrogen'
    const airPa = airOf(input)
    const gaugePa = input.gaugeUncertainty?.si ?? ASSUMED_GAUGE_PA
    const thermometerK = input.temperatureUncertainty?.si ?? ASSUMED_THERMOMETER_K
    const states = [input.start, input.end].map((state) => ({
      at: state.at,
      gaugePressurePa: state.gaugePressure.si,
      temperatureK: state.temperature.si,
    })) as [State, State]
    const judgement = judgeStandingPressure({
      readings: states.map(({ at, ...state }) => ({ atMs: at, stage: 'hold', ...state })),
      medium,
      atmosphericPressurePa: airPa,
      gauge: { accuracyPa: 0, shortTermPa: gaugePa, resolutionPa: 0 },
      thermometer: { accuracyK: 0, shortTermK: thermometerK },
      requiredHoldS: pressure.holdS,
      temperatureFollowing: pressure.temperatureFollowing,
      volumeM3: input.internalVolume?.si,
      refrigerant: input.refrigerant,
    })
    // In time, as the judgement takes them.
    const [start, end] = states[0].at <= states[1].at ? states : [states[1], states[0]]
    return {
      judgement,
      start,
      end,
      medium,
      airPa,
      gaugePa,
      thermometerK,
      unit: input.start.gaugePressure.unit as PressureUnit,
      volumeM3: input.internalVolume?.si ?? null,
      refrigerant: input.refrigerant,
    }
  },
  fieldOf: ({ quantity, value }, input) =>
    quantity === 'volume'
      ? 'internalVolume'
      : quantity === 'gauge pressure'
        ? `${value === input.start.gaugePressure.si ? 'start' : 'end'}.gaugePressure`
        : undefined,
  json: ({ judgement, unit, volumeM3 }) => {
    const whole: PressureTestJudgement = {
      ...judgement,
      required: null,
      limit: null,
      requiredHoldS: pressure.holdS,
      volumeM3,
      volumeSource: say.calculators.asEntered,
      gaugeSource: '',
      thermometerSource: '',
    }
    const {
      requiredGaugePressure: _r,
      requiredSource: _s,
      limitGaugePressure: _l,
      limitSource: _m,
      ...said
    } = pressureJudgementJson(whole, unit)
    return said
  },
  explain: (answer) => {
    const { judgement, unit } = answer
    const { changePa, changeUncertaintyPa, bandPa, expectedGaugePressurePa } = judgement
    const inIts = (pressurePa: number) => inUnit('pressure', pressurePa, unit)
    // Changes are a thousand times smaller than the pressures: shown in the unit's own small sister.
    const small: PressureUnit = unit === 'psi' ? 'psi' : 'kPa'
    const at = (pressurePa: number) => fromSi('pressure', pressurePa, small)
    const perYear = judgement.smallestSeenRefrigerantKgPerYear
    const lostPerYear = judgement.refrigerantKgPerYear
    const worked = holdSteps({ ...answer, following: pressure.temperatureFollowing })
    return {
      verdict: {
        ...holdVerdicts()[judgement.verdict],
        reasons: [
          ...judgement.reasons,
          ...judgement.notes.filter((note) => note.code === 'ideal-gas-law'),
        ].map((reason) => reason.text),
      },
      judged:
        changePa === null || changeUncertaintyPa === null || bandPa === null
          ? []
          : [
              {
                label: say.calculators.changeBeyondTemperature,
                value: exactly(at(changePa), 1),
                unit: UNIT_LABELS[small],
                at: at(changePa),
                low: Number(at(-bandPa).toPrecision(4)),
                high: Number(at(bandPa).toPrecision(4)),
                whisker: spanOf(at(changePa), at(changeUncertaintyPa)),
                verdict: holdVerdicts()[judgement.verdict].words,
                outcome: holdVerdicts()[judgement.verdict].outcome,
                also: inOther('pressure', changePa, small),
                source: say.calculators.theLargestFallThat,
              },
            ],
      facts: [
        {
          label: say.calculators.expectedAtTheEnd,
          value: expectedGaugePressurePa === null ? say.calculators.notKnown : inIts(expectedGaugePressurePa),
          note:
            judgement.idealGasGaugePressurePa === null
              ? undefined
              : say.calculators.anIdealGasWould(inIts(judgement.idealGasGaugePressurePa)),
        },
        ...(lostPerYear === null
          ? []
          : [
              {
                label: say.calculators.theLeakIfIt,
                value: say.calculators.aboutGYear(figure(lostPerYear * 1000, 2)),
                note: say.calculators.ofRefrigerantInServiceAn,
              },
            ]),
        {
          label: say.calculators.smallestLeakItCould,
          value:
            perYear === null
              ? say.calculators.notKnown
              : say.calculators.aboutGYear(figure(perYear * 1000, 2)),
          note:
            perYear === null
              ? say.calculators.needsVolumeAndRefrigerant
              : say.calculators.ofRefrigerantInServiceAnEstimate,
        },
      ],
      plots: expectedGaugePressurePa === null ? [] : (orNull(() => [plotOf(answer)]) ?? []),
      worked: worked ?? {
        steps: [],
        source: say.calculators.ourFitToSpan,
        validity: say.calculators.theReadingsDoNot,
        methodHref: '/methods/standing-pressure',
      },
    }
  },
})

interface State {
  at: number
  gaugePressurePa: number
  temperatureK: number
}

/** Pressure against temperature: the line of constant density with the band within which the change can't be told from none. */
function plotOf(answer: {
  judgement: { law: string; changeUncertaintyPa: number | null }
  start: State
  end: State
  airPa: number
  unit: PressureUnit
}): CurveProps {
  const { start, end, airPa, unit } = answer
  const { lowK, highK } = NITROGEN_VALIDITY
  const from = Math.max(lowK, Math.min(start.temperatureK, end.temperatureK) - 3)
  const to = Math.min(highK, Math.max(start.temperatureK, end.temperatureK) + 3)
  const uncertaintyPa = answer.judgement.changeUncertaintyPa ?? 0
  const y = (pressurePa: number) => fromSi('pressure', pressurePa, unit)
  const points = Array.from({ length: 25 }, (_, index) => {
    const endTemperatureK = from + ((to - from) * index) / 24
    const input = {
      startPressurePa: absoluteFromGauge(start.gaugePressurePa, airPa),
      startTemperatureK: start.temperatureK,
      endTemperatureK,
    }
    const absolutePa =
      answer.judgement.law === 'ideal-gas' ? idealEndPressure(input) : endPressureAtConstantDensity(input)
    return { x: endTemperatureK - 273.15, pressurePa: gaugeFromAbsolute(absolutePa, airPa) }
  })
  const state = (one: State) => ({ x: one.temperatureK - 273.15, y: y(one.gaugePressurePa) })
  return {
    id: 'plot-hold',
    title: say.calculators.pressureAgainstTemperature,
    desc: say.calculators.whatATightSystem,
    x: { label: say.calculators.temperatureC, domain: [from - 273.15, to - 273.15] },
    y: { label: say.calculators.gaugePressure2(UNIT_LABELS[unit]) },
    readings: [state(start), state(end)],
    readingsLabel: say.calculators.startAndEnd,
    fitted: {
      label: say.calculators.constantDensityATight,
      points: points.map((one) => ({ x: one.x, y: y(one.pressurePa) })),
    },
    band: {
      label: say.calculators.itsUncertainty,
      points: points.map((one) => ({
        x: one.x,
        low: y(one.pressurePa - uncertaintyPa),
        high: y(one.pressurePa + uncertaintyPa),
      })),
    },
    table: {
      columns: ['', say.calculators.temperature, say.calculators.gaugePressure],
      rows: [
        [
          say.calculators.startWord,
          inUnit('temperature', start.temperatureK, 'degC'),
          inUnit('pressure', start.gaugePressurePa, unit),
        ],
        [
          say.calculators.endWord,
          inUnit('temperature', end.temperatureK, 'degC'),
          inUnit('pressure', end.gaugePressurePa, unit),
        ],
      ],
    },
  }
}
