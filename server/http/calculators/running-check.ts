// Which subcooling, superheat and temperature split do these readings give?

import { z } from 'zod'
import type { JudgedNumberProps } from '../../../views/parts/judged-number.tsx'
import {
  gaugePressure,
  type Measured,
  temperature,
  temperatureDifference,
} from '../../commands/quantities.ts'
import { malformedField } from '../../refusals.ts'
import { absoluteFromGauge } from '../../trade/atmosphere.ts'
import {
  DUCTED_DEFAULT_TOLERANCE_K,
  judgeDifference,
  subcooling,
  superheat,
  temperatureSplit,
} from '../../trade/running-check.ts'
import { fromSi, UNIT_LABELS } from '../../trade/units.ts'
import { say } from '../../words/say.ts'
import { airFields, airOf, defineCalculator, figure, inOther, refrigerantName } from '../calculator.ts'
import { quantityJson } from '../json.ts'
import { runningSteps } from '../worked-running.ts'

const target = temperatureDifference().optional()

export const runningCheck = defineCalculator({
  path: 'running-check',
  summary: 'Which subcooling, superheat and temperature split do these readings give?',
  input: z.strictObject({
    refrigerant: refrigerantName,
    mode: z.enum(['cooling', 'heating']).optional(),
    liquidLinePressure: gaugePressure().optional(),
    liquidLineTemperature: temperature().optional(),
    suctionPressure: gaugePressure().optional(),
    suctionTemperature: temperature().optional(),
    supplyAir: temperature().optional(),
    returnAir: temperature().optional(),
    subcoolingTarget: target,
    superheatTarget: target,
    ...airFields,
  }),
  compute: (input) => {
    const airPa = airOf(input)
    const { liquidLinePressure, liquidLineTemperature, suctionPressure, suctionTemperature } = input
    const pair = (one: Measured | undefined, other: Measured | undefined, path: string) => {
      if ((one === undefined) !== (other === undefined))
        throw malformedField(path, say.calculators.pressureAndTemperatureOf)
      return one && other
        ? {
            refrigerant: input.refrigerant,
            absolutePressurePa: absoluteFromGauge(one.si, airPa),
            temperatureK: other.si,
          }
        : null
    }
    const liquid = pair(
      liquidLinePressure,
      liquidLineTemperature,
      liquidLinePressure ? 'liquidLineTemperature' : 'liquidLinePressure',
    )
    const suction = pair(
      suctionPressure,
      suctionTemperature,
      suctionPressure ? 'suctionTemperature' : 'suctionPressure',
    )
    const mode = input.mode ?? 'cooling'
    const { supplyAir, returnAir } = input
    if (!liquid && !suction && !(supplyAir && returnAir))
      throw malformedField('liquidLinePressure', say.calculators.giveALinesPressure)
    const judged = (measuredK: number, targetK: number | undefined, toleranceK: number) =>
      targetK === undefined ? null : judgeDifference({ measuredK, target: { targetK, toleranceK } })
    const sub = liquid && { ...liquid, ...subcooling(liquid) }
    const sup = suction && { ...suction, ...superheat(suction) }
    return {
      airPa,
      mode,
      fahrenheit: [liquidLineTemperature, suctionTemperature, supplyAir].some((one) => one?.unit === 'degF'),
      subcooling: sub && {
        ...sub,
        judged: judged(sub.subcoolingK, input.subcoolingTarget?.si, DUCTED_DEFAULT_TOLERANCE_K.subcooling),
      },
      superheat: sup && {
        ...sup,
        judged: judged(sup.superheatK, input.superheatTarget?.si, DUCTED_DEFAULT_TOLERANCE_K.superheat),
      },
      splitK:
        supplyAir && returnAir
          ? temperatureSplit({ mode, supplyAirK: supplyAir.si, returnAirK: returnAir.si })
          : null,
      supplyK: supplyAir?.si ?? null,
      returnK: returnAir?.si ?? null,
    }
  },
  fieldOf: ({ quantity, value }, input) => {
    const temperatures: Record<string, string> = {
      'liquid line temperature': 'liquidLineTemperature',
      'suction line temperature': 'suctionTemperature',
      'return air temperature': 'returnAir',
      'supply air temperature': 'supplyAir',
    }
    if (quantity in temperatures) return temperatures[quantity]
    const { liquidLinePressure } = input
    if (liquidLinePressure === undefined) return 'suctionPressure'
    const refused = quantity === 'gauge pressure' ? value : value - airOf(input)
    return Math.abs(refused - liquidLinePressure.si) < 1 ? 'liquidLinePressure' : 'suctionPressure'
  },
  json: (a) => {
    const one = (
      found: { saturationK: number; judged: { verdict: string } | null } | null,
      differenceK: number | undefined,
    ) =>
      found && {
        ...quantityJson('temperature-difference', differenceK, 'K'),
        saturation: quantityJson('temperature', found.saturationK, 'K'),
        verdict: found.judged?.verdict ?? null,
      }
    return {
      subcooling: one(a.subcooling, a.subcooling?.subcoolingK),
      superheat: one(a.superheat, a.superheat?.superheatK),
      temperatureSplit: quantityJson('temperature-difference', a.splitK, 'K'),
    }
  },
  explain: (a) => {
    const unit = a.fahrenheit ? 'degF.diff' : 'K'
    const at = (differenceK: number) => fromSi('temperature-difference', differenceK, unit)
    const number = (
      label: string,
      differenceK: number,
      judged: { verdict: string; lowK: number; highK: number } | null,
    ): JudgedNumberProps => ({
      label,
      value: figure(at(differenceK), 3),
      unit: UNIT_LABELS[unit],
      at: at(differenceK),
      low: judged ? Number(at(judged.lowK).toFixed(2)) : undefined,
      high: judged ? Number(at(judged.highK).toFixed(2)) : undefined,
      verdict:
        judged === null
          ? differenceK < 0
            ? say.calculators.belowNothingAReading
            : say.calculators.noTargetEntered
          : judged.verdict === 'within'
            ? 'within'
            : say.calculators.too(judged.verdict),
      outcome: judged === null ? 'open' : judged.verdict === 'within' ? 'met' : 'failed',
      also: inOther('temperature-difference', differenceK, unit),
      source: judged ? say.calculators.targetAsEnteredTolerance : undefined,
    })
    const fact = (label: string, differenceK: number) => ({
      label,
      value: `${figure(at(differenceK), 3)} ${UNIT_LABELS[unit]}`,
      note: inOther('temperature-difference', differenceK, unit),
      main: true,
    })
    const { subcooling: sub, superheat: sup, splitK } = a
    return {
      judged: [
        ...(sub?.judged ? [number(say.calculators.subcooling, sub.subcoolingK, sub.judged)] : []),
        ...(sup?.judged ? [number(say.calculators.superheat, sup.superheatK, sup.judged)] : []),
      ],
      facts: [
        ...(sub && !sub.judged ? [fact(say.calculators.subcooling, sub.subcoolingK)] : []),
        ...(sup && !sup.judged ? [fact(say.calculators.superheat, sup.superheatK)] : []),
        ...(splitK === null ? [] : [fact(say.calculators.temperatureSplit, splitK)]),
      ],
      worked: runningSteps(a),
    }
  },
})
