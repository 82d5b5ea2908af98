/** Up to which pressure can water in the lines go on boiling? */
import { say } from '../words/say.ts'
import { requireWithin } from './validity.ts'

interface WaterFit {
  x0: number
  c: readonly [number, number, number, number]
}

// Our own fits to the IAPWS-95 saturation (Wagner & Pruss, J. Phys. Chem. Ref. Data 31 (2002) 387) and to the
// sublimation equation IAPWS R14-08(2011) (Wagner, Riethmann, Feistel & Harvey, J. Phys. Chem. Ref. Data 40 (2011)
// 043103). Largest relative errors 4.5e-6 and 4.4e-6.
const LIQUID: WaterFit = { x0: 3.4, c: [7.817337613, -5.318810048, -2.097108536e-1, 3.153384072e-2] }
const ICE: WaterFit = { x0: 3.9, c: [4.945966554, -6.150052975, -6.741325269e-3, 1.025302191e-2] }

/** Valid range: ice −40…0 °C, liquid 0…60 °C. */
export const WATER_VALIDITY = { lowK: 233.15, highK: 333.15 } as const
const FREEZING_K = 273.15

function evaluate({ x0, c }: WaterFit, temperatureK: number): number {
  const x = 1000 / temperatureK - x0
  return Math.exp(c[0] + x * (c[1] + x * (c[2] + x * c[3])))
}

export type WaterPhase = 'ice' | 'liquid'

/** The phase of water at a temperature (K); at 0 °C liquid. */
export function waterPhase(temperatureK: number): WaterPhase {
  return temperatureK < FREEZING_K ? 'ice' : 'liquid'
}

/**
 * Vapour pressure of water, Pa absolute: over ice below 0 °C, over liquid from 0 °C on (or over the phase named,
 * within its own range). Valid −40…60 °C; error of the fit at most 5e-6.
 */
export function waterVapourPressure(
  temperatureK: number,
  phase: WaterPhase = waterPhase(temperatureK),
): number {
  if (phase === 'ice') {
    requireWithin(say.trade.temperatureOfIce, temperatureK, WATER_VALIDITY.lowK, FREEZING_K, 'K')
    return evaluate(ICE, temperatureK)
  }
  requireWithin(say.trade.temperatureOfWater, temperatureK, FREEZING_K, WATER_VALIDITY.highK, 'K')
  return evaluate(LIQUID, temperatureK)
}
