/** What is the absolute pressure of the air at a site, and how do gauge and absolute pressure hang together? */
import { say } from '../words/say.ts'
import { OutsideValidity, requireFinite, requireWithin } from './validity.ts'

// ISO 2533:1975, standard atmosphere, lowest layer (constants from memory; they reproduce its printed pressures).
const SEA_LEVEL_PA = 101325
const SEA_LEVEL_K = 288.15
const LAPSE_K_PER_M = 0.0065
const GRAVITY = 9.80665
const GAS_CONSTANT_AIR = 287.05287
const EARTH_RADIUS_M = 6_356_766

/** Highest and lowest elevation accepted, m: below any dwelling, and above. */
const LOWEST_M = -500
const HIGHEST_M = 6000

/** The standard atmosphere at sea level, Pa. */
export const STANDARD_ATMOSPHERE_PA = SEA_LEVEL_PA

/**
 * Absolute air pressure in Pa at an elevation in m above sea level, by the standard atmosphere (ISO 2533).
 * Valid −500…6000 m. Weather moves the true value by about ±3 kPa (common practice, no source), which shifts a
 * temperature-corrected pressure change by less than 0.1 % of itself.
 */
export function atmosphericPressureAt(elevationM: number): number {
  requireWithin(say.trade.siteElevation, elevationM, LOWEST_M, HIGHEST_M, 'm')
  const exponent = GRAVITY / (GAS_CONSTANT_AIR * LAPSE_K_PER_M)
  const geopotentialM = (EARTH_RADIUS_M * elevationM) / (EARTH_RADIUS_M + elevationM)
  return SEA_LEVEL_PA * (1 - (LAPSE_K_PER_M * geopotentialM) / SEA_LEVEL_K) ** exponent
}

/**
 * The elevation (m) at which the standard atmosphere has that absolute air pressure (Pa): the reverse of
 * `atmosphericPressureAt`, within the same range.
 */
export function elevationAt(atmosphericPa: number): number {
  requireWithin(
    say.trade.airPressure,
    atmosphericPa,
    atmosphericPressureAt(HIGHEST_M),
    atmosphericPressureAt(LOWEST_M),
    'Pa',
  )
  const exponent = (GAS_CONSTANT_AIR * LAPSE_K_PER_M) / GRAVITY
  const geopotentialM = (SEA_LEVEL_K / LAPSE_K_PER_M) * (1 - (atmosphericPa / SEA_LEVEL_PA) ** exponent)
  return (EARTH_RADIUS_M * geopotentialM) / (EARTH_RADIUS_M - geopotentialM)
}

/** Absolute pressure in Pa from gauge pressure and air pressure in Pa. Refuses a gauge pressure below vacuum. */
export function absoluteFromGauge(gaugePa: number, atmosphericPa: number): number {
  requireWithin(say.trade.airPressure, atmosphericPa, 30000, 120000, 'Pa')
  requireFinite(say.trade.gaugePressure, gaugePa, 'Pa')
  const absolutePa = gaugePa + atmosphericPa
  if (absolutePa < 0) {
    throw new OutsideValidity(say.trade.gaugePressure, gaugePa, {
      low: -atmosphericPa,
      unit: 'Pa',
      because: say.trade.belowVacuum,
    })
  }
  return absolutePa
}

/** Gauge pressure in Pa from absolute pressure and air pressure in Pa. */
export function gaugeFromAbsolute(absolutePa: number, atmosphericPa: number): number {
  requireWithin(say.trade.airPressure, atmosphericPa, 30000, 120000, 'Pa')
  requireFinite(say.trade.absolutePressure, absolutePa, 'Pa')
  if (absolutePa < 0)
    throw new OutsideValidity(say.trade.absolutePressure, absolutePa, { low: 0, unit: 'Pa' })
  return absolutePa - atmosphericPa
}
