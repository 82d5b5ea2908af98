// How high may a section be filled, so that the warmest hour to come does not carry it over its limit?

import { z } from 'zod'
import { gaugePressure, temperature } from '../../commands/quantities.ts'
import { absoluteFromGauge } from '../../trade/atmosphere.ts'
import { compressibility } from '../../trade/nitrogen.ts'
import { gaugePressureAtWarmest, highestFillGaugePressure } from '../../trade/standing-pressure.ts'
import { fromSi, type PressureUnit, UNIT_LABELS } from '../../trade/units.ts'
import { say } from '../../words/say.ts'
import {
  ASSUMED_GAUGE_PA,
  airFields,
  airOf,
  defineCalculator,
  exactly,
  figure,
  inOther,
  inUnit,
  spanOf,
} from '../calculator.ts'
import { quantityJson } from '../json.ts'

export const fillPressure = defineCalculator({
  path: 'fill-pressure',
  summary:
    'How high may nitrogen be filled, so that it stays below the limit at the warmest temperature expected?',
  input: z.strictObject({
    limit: gaugePressure({ min: 1000 }),
    temperature: temperature(),
    warmest: temperature(),
    gaugeError: gaugePressure({ min: 0 }).optional(),
    filled: gaugePressure().optional(),
    ...airFields,
  }),
  compute: (input) => {
    const atmosphericPressurePa = airOf(input)
    const gaugeAccuracyPa = input.gaugeError?.si ?? 4 * ASSUMED_GAUGE_PA
    const state = {
      temperatureK: input.temperature.si,
      warmestTemperatureK: input.warmest.si,
      atmosphericPressurePa,
    }
    return {
      ...state,
      limitPa: input.limit.si,
      gaugeAccuracyPa,
      highestFillPa: highestFillGaugePressure({ ...state, limitPressurePa: input.limit.si, gaugeAccuracyPa }),
      filledPa: input.filled?.si ?? null,
      atWarmestPa: input.filled
        ? gaugePressureAtWarmest({ ...state, gaugePressurePa: input.filled.si })
        : null,
      unit: input.limit.unit as PressureUnit,
    }
  },
  fieldOf: ({ quantity, value }, input) =>
    quantity === 'gas temperature'
      ? value === input.temperature.si
        ? 'temperature'
        : 'warmest'
      : quantity === 'pressure limit less the gauge error'
        ? 'gaugeError'
        : quantity === 'gauge pressure'
          ? 'filled'
          : quantity === 'absolute pressure'
            ? value > input.limit.si
              ? 'limit'
              : 'filled'
            : undefined,
  json: (a) => ({
    highestFill: quantityJson('pressure', a.highestFillPa, a.unit),
    atWarmest: quantityJson('pressure', a.atWarmestPa, a.unit),
  }),
  explain: (a) => {
    const mpa = (pressurePa: number) => exactly(pressurePa / 1e6, 3)
    const at = (pressurePa: number) => fromSi('pressure', pressurePa, a.unit)
    const topPa = a.limitPa - a.gaugeAccuracyPa
    const kelvin = (temperatureK: number) => exactly(temperatureK, 2)
    const z = (gaugePa: number, temperatureK: number) =>
      exactly(compressibility(absoluteFromGauge(gaugePa, a.atmosphericPressurePa), temperatureK), 4)
    return {
      judged:
        a.atWarmestPa === null
          ? []
          : [
              {
                label: say.calculators.atTheWarmest,
                value: figure(at(a.atWarmestPa)),
                unit: UNIT_LABELS[a.unit],
                at: at(a.atWarmestPa),
                high: Number(at(a.limitPa).toPrecision(5)),
                whisker: spanOf(at(a.atWarmestPa), at(a.gaugeAccuracyPa)),
                verdict:
                  a.atWarmestPa > a.limitPa
                    ? say.calculators.aboveTheLimit
                    : a.atWarmestPa > topPa
                      ? say.calculators.belowTheLimitBut
                      : say.calculators.belowTheLimit,
                outcome: a.atWarmestPa > topPa ? 'failed' : 'met',
                also: inOther('pressure', a.atWarmestPa, a.unit),
                source: say.calculators.asEntered,
              },
            ],
      facts: [
        {
          label: say.calculators.fillToAtMost,
          value: inUnit('pressure', a.highestFillPa, a.unit),
          note: inOther('pressure', a.highestFillPa, a.unit),
          main: true,
        },
      ],
      worked: {
        steps: [
          {
            says: say.calculators.theGaugeMayShow,
            formula: say.calculators.pTopLimitError,
            numbers: `p_top = ${mpa(a.limitPa)} − ${mpa(a.gaugeAccuracyPa)} = ${mpa(topPa)} MPa gauge`,
          },
          {
            says: say.calculators.aClosedSectionKeeps,
            formula: 'p_fill = (p_top + p_air) · (Z_fill · T_fill) / (Z_warm · T_warm) − p_air',
            numbers:
              a.warmestTemperatureK <= a.temperatureK
                ? say.calculators.itWillNotGrow(mpa(a.highestFillPa))
                : `p_fill = (${mpa(topPa)} + ${mpa(a.atmosphericPressurePa)}) · (${z(a.highestFillPa, a.temperatureK)} · ${kelvin(a.temperatureK)}) / (${z(topPa, a.warmestTemperatureK)} · ${kelvin(a.warmestTemperatureK)}) − ${mpa(a.atmosphericPressurePa)} = ${mpa(a.highestFillPa)} MPa gauge`,
          },
        ],
        source: say.calculators.nitrogenByOurFit,
        validity: say.calculators.from30To70,
        methodHref: '/methods/nitrogen',
      },
    }
  },
})
