/** Does the running system show the subcooling and superheat it should? */
import { say } from '../words/say.ts'
import type { RefrigerantName } from './refrigerants.ts'
import { saturationTemperature } from './saturation.ts'
import { requireFinite, requireNotNegative, requireWithin } from './validity.ts'

/** Time to run steadily before reading, s: California Residential Appendix RA3.2. */
export const STEADY_S = 900

/**
 * Tolerances for ducted systems where the sheet gives none: ±3 °F of subcooling, ±5 °F of superheat (California
 * Residential Appendix RA3.2, 2008). For variable-speed ductless systems nothing is built in.
 */
export const DUCTED_DEFAULT_TOLERANCE_K = { subcooling: (3 * 5) / 9, superheat: (5 * 5) / 9 } as const

/**
 * Subcooling in K: bubble temperature at the liquid line's absolute pressure less its temperature. Negative means gas
 * in the line. Valid where the saturation is (−40…65 °C); error of the fit at most 0.006 K, of the instruments more.
 */
export function subcooling(input: {
  refrigerant: RefrigerantName
  absolutePressurePa: number
  temperatureK: number
}): {
  saturationK: number
  subcoolingK: number
} {
  const temperature = requireWithin(say.trade.liquidLineTemperature, input.temperatureK, 200, 400, 'K')
  const saturationK = saturationTemperature(input.refrigerant, 'bubble', input.absolutePressurePa)
  return { saturationK, subcoolingK: saturationK - temperature }
}

/** Superheat in K: the suction line's temperature less the dew temperature at its absolute pressure. Same validity. */
export function superheat(input: {
  refrigerant: RefrigerantName
  absolutePressurePa: number
  temperatureK: number
}): {
  saturationK: number
  superheatK: number
} {
  const temperature = requireWithin(say.trade.suctionLineTemperature, input.temperatureK, 200, 400, 'K')
  const saturationK = saturationTemperature(input.refrigerant, 'dew', input.absolutePressurePa)
  return { saturationK, superheatK: temperature - saturationK }
}

/** Temperature split over the indoor coil in K: return less supply when cooling, supply less return when heating. */
export function temperatureSplit(input: {
  mode: 'cooling' | 'heating'
  returnAirK: number
  supplyAirK: number
}): number {
  const back = requireWithin(say.trade.returnAirTemperature, input.returnAirK, 200, 400, 'K')
  const supply = requireWithin(say.trade.supplyAirTemperature, input.supplyAirK, 200, 400, 'K')
  return input.mode === 'cooling' ? back - supply : supply - back
}

export type RunningVerdict = 'within' | 'low' | 'high'

/**
 * Judges one measured difference (K) against its target and tolerance (K), or against a low–high band. Simple
 * acceptance, limits included.
 */
export function judgeDifference(input: {
  measuredK: number
  target: { targetK: number; toleranceK: number } | { lowK: number; highK: number }
}): { verdict: RunningVerdict; lowK: number; highK: number } {
  const measured = requireFinite(say.trade.measuredDifference, input.measuredK, 'K')
  const { target } = input
  const lowK =
    'targetK' in target
      ? requireFinite(say.trade.target, target.targetK, 'K') -
        requireNotNegative(say.trade.tolerance, target.toleranceK, 'K')
      : requireFinite(say.trade.lowerLimit, target.lowK, 'K')
  const highK =
    'targetK' in target
      ? target.targetK + target.toleranceK
      : requireWithin(say.trade.upperLimit, target.highK, lowK, 1000, 'K')
  const slack = 1e-9
  return {
    verdict: measured < lowK - slack ? 'low' : measured > highK + slack ? 'high' : 'within',
    lowK,
    highK,
  }
}
