// How long must a section be held to see a given leak?

import { z } from 'zod'
import {
  gaugePressure,
  massRate,
  temperature,
  temperatureDifference,
  volume,
} from '../../commands/quantities.ts'
import { absoluteFromGauge } from '../../trade/atmosphere.ts'
import { pressureTestLeakFor } from '../../trade/leak-rate.ts'
import { slopeAtConstantDensity } from '../../trade/nitrogen.ts'
import { bandFor, holdTimeToSeeLoss } from '../../trade/standing-pressure.ts'
import { formatNumber, type PressureUnit } from '../../trade/units.ts'
import { say } from '../../words/say.ts'
import {
  ASSUMED_GAUGE_PA,
  ASSUMED_THERMOMETER_K,
  airOf,
  builtIn,
  defineCalculator,
  exactly,
  figure,
  inUnit,
  refrigerantName,
} from '../calculator.ts'
import { quantityJson } from '../json.ts'
import { inServiceStep } from '../worked-steps.ts'
import { holdFields } from './pressure-hold.ts'

const following = builtIn.pressure.temperatureFollowing

export const holdTime = defineCalculator({
  path: 'hold-time',
  summary: 'How long must a section be held to see a given leak?',
  input: z.strictObject({
    gaugePressure: gaugePressure({ min: 1000 }),
    temperature: temperature().optional(),
    temperatureChange: temperatureDifference().optional(),
    ...holdFields,
    internalVolume: volume({ min: 1e-6 }),
    refrigerant: refrigerantName,
    leakToSee: massRate({ min: 1e-6 }),
  }),
  compute: (input) => {
    const airPa = airOf(input)
    const startPa = absoluteFromGauge(input.gaugePressure.si, airPa)
    const testGas = input.medium ?? 'nitrogen'
    const temperatureK = input.temperature?.si ?? 293.15
    const slope =
      testGas === 'helium' ? startPa / temperatureK : slopeAtConstantDensity(startPa, temperatureK)
    const gaugePa = input.gaugeUncertainty?.si ?? ASSUMED_GAUGE_PA
    const thermometerK = input.temperatureUncertainty?.si ?? ASSUMED_THERMOMETER_K
    const lagPa = slope * following * (input.temperatureChange?.si ?? 0)
    const changeUncertaintyPa = Math.sqrt(2 * gaugePa ** 2 + 2 * (slope * thermometerK) ** 2 + lagPa ** 2)
    const bandPa = bandFor(input.gaugePressure.si)
    const seconds = holdTimeToSeeLoss({
      kgPerYear: input.leakToSee.si,
      refrigerant: input.refrigerant,
      testGas,
      testGaugePressurePa: input.gaugePressure.si,
      atmosphericPressurePa: airPa,
      volumeM3: input.internalVolume.si,
      bandPa,
      changeUncertaintyPa,
    })
    const leakPaM3PerS = pressureTestLeakFor({
      kgPerYear: input.leakToSee.si,
      refrigerant: input.refrigerant,
      testGas,
      testAbsolutePa: startPa,
      atmosphericPa: airPa,
    })
    return {
      seconds,
      bandPa,
      changeUncertaintyPa,
      gaugePa,
      thermometerK,
      slope,
      lagPa,
      startPa,
      airPa,
      leakPaM3PerS,
      volumeM3: input.internalVolume.si,
      kgPerYear: input.leakToSee.si,
      refrigerant: input.refrigerant,
      testGas,
      unit: input.gaugePressure.unit as PressureUnit,
    }
  },
  fieldOf: ({ quantity }) =>
    ({ 'absolute pressure': 'gaugePressure', 'gas temperature': 'temperature' })[quantity],
  json: ({ seconds, bandPa, changeUncertaintyPa, unit }) => ({
    minutes: seconds / 60,
    largestUnseenFall: quantityJson('pressure', bandPa, unit),
    changeUncertainty: quantityJson('pressure', changeUncertaintyPa, unit),
  }),
  explain: (a) => {
    const kpa = (pressurePa: number) => exactly(pressurePa / 1000, 1)
    const seen = Math.min(a.bandPa, 2 * a.changeUncertaintyPa)
    const minutes = a.seconds / 60
    const words =
      minutes < 120
        ? `${formatNumber(Math.ceil(minutes))} min`
        : minutes < 4320
          ? `${formatNumber(Math.ceil(minutes / 6) / 10)} h`
          : say.calculators.days(formatNumber(Math.ceil(minutes / 144) / 10))
    return {
      facts: [
        {
          label: say.calculators.holdFor,
          value: words,
          note: say.calculators.anEstimateWithThe,
          main: true,
        },
        ...(minutes > 1440
          ? [
              {
                label: say.calculators.saidPlainly,
                value: say.calculators.noHoldOfA,
                note: say.calculators.checkJointByJoint,
              },
            ]
          : []),
        { label: say.calculators.changeThatMustShow, value: inUnit('pressure', seen, a.unit) },
        {
          label: say.calculators.uncertaintyOfTheChange,
          value: inUnit('pressure', a.changeUncertaintyPa, a.unit),
        },
      ],
      worked: {
        steps: [
          inServiceStep({ ...a, testAbsolutePa: a.startPa }),
          {
            says: say.calculators.howSureAChange,
            formula: 'U = √(2 · g^2 + 2 · (s · t)^2 + (s · r · ΔT)^2)',
            numbers: `U = √(2 · ${kpa(a.gaugePa)}^2 + 2 · ${kpa(a.slope * a.thermometerK)}^2 + ${kpa(a.lagPa)}^2) = ${kpa(a.changeUncertaintyPa)} kPa`,
          },
          {
            says: say.calculators.aLeakIsSeen,
            formula: 't = V · min(τ, 2 · U) / q',
            numbers: `t = ${figure(a.volumeM3 * 1000)} L · ${kpa(seen)} kPa / ${figure(a.leakPaM3PerS, 4)} Pa·m³/s = ${formatNumber(Number(a.seconds.toPrecision(3)))} s`,
          },
        ],
        source: say.calculators.viscousFlowEn1779,
        validity: say.calculators.anEstimateVeryWide,
        methodHref: '/methods/leak-rate',
      },
    }
  },
})
