/** How does the pressure of nitrogen in a closed vessel follow its temperature? */
import { say } from '../words/say.ts'
import { requirePositive, requireWithin } from './validity.ts'

/** Molar gas constant, J/(mol·K), exact (SI brochure, 9th ed.). */
export const GAS_CONSTANT = 8.314462618

// Our own fit, virial in pressure, to the equation of state of Span, Lemmon, Jacobsen, Wagner & Yokozeki,
// J. Phys. Chem. Ref. Data 29 (2000) 1361. Largest error in Z 8.5e-5; in the end pressure of a closed vessel 5.5e-5.
const B = [3.62499225e-5, -7.351258094e-6, -1.469610919e-6] as const
const D = [8.978145457e-10, 1.689087758e-10] as const

/** Range of the fit: −30…70 °C, up to 6 MPa absolute. Below 0.1 MPa it tends to the ideal gas and stays safe. */
export const NITROGEN_VALIDITY = { lowK: 243.15, highK: 343.15, highPa: 6e6 } as const

function requireState(pressurePa: number, temperatureK: number): void {
  requireWithin(say.trade.gasTemperature, temperatureK, NITROGEN_VALIDITY.lowK, NITROGEN_VALIDITY.highK, 'K')
  requirePositive(say.trade.absolutePressure, pressurePa, 'Pa')
  requireWithin(say.trade.absolutePressure, pressurePa, 0, NITROGEN_VALIDITY.highPa, 'Pa')
}

function factorsAt(pressurePa: number, temperatureK: number) {
  const u = 1000 / temperatureK
  const q = pressurePa / (GAS_CONSTANT * temperatureK)
  const b = B[0] + B[1] * u + B[2] * u * u
  const d = D[0] + D[1] * u
  const z = 1 + b * q + d * q * q
  // Derivatives of Z: du/dT = −u/T, dq/dT at constant p = −q/T, dq/dp = q/p.
  const bT = (-u / temperatureK) * (B[1] + 2 * B[2] * u)
  const dT = (-u / temperatureK) * D[1]
  const slopeQ = b + 2 * d * q
  return {
    z,
    zT: bT * q + dT * q * q - (slopeQ * q) / temperatureK,
    zP: slopeQ / (GAS_CONSTANT * temperatureK),
  }
}

/**
 * Compressibility factor Z of nitrogen (p = Z·ρ·R·T). Absolute Pa and K; valid 243.15…343.15 K up to 6 MPa;
 * error against the equation of state at most 8.5e-5 relative.
 */
export function compressibility(pressurePa: number, temperatureK: number): number {
  requireState(pressurePa, temperatureK)
  return factorsAt(pressurePa, temperatureK).z
}

/**
 * Slope of pressure with temperature at constant density, Pa/K, for nitrogen at an absolute pressure (Pa) and a
 * temperature (K). From Z: dp/dT = (p/T)·(1 + T·Z_T/Z)/(1 − p·Z_p/Z). At 3.8–4.15 MPa this is 13.5–17.5 kPa/K; the
 * widely printed 10 kPa/K understates it by about a third and is never used.
 */
export function slopeAtConstantDensity(pressurePa: number, temperatureK: number): number {
  requireState(pressurePa, temperatureK)
  const { z, zT, zP } = factorsAt(pressurePa, temperatureK)
  return ((pressurePa / temperatureK) * (1 + (temperatureK * zT) / z)) / (1 - (pressurePa * zP) / z)
}

/**
 * Absolute pressure (Pa) that a closed, rigid, tight vessel of nitrogen has at `endTemperatureK`, having had
 * `startPressurePa` at `startTemperatureK`: p₂ = p₁·(Z₂T₂)/(Z₁T₁), by repeated substitution to rounding.
 * Valid: 243.15…343.15 K and up to 6 MPa absolute, at the start and at the end. Error of the end pressure
 * at most 5.5e-5 (232 Pa) against the equation of state. Assumes one uniform gas temperature.
 */
export function endPressureAtConstantDensity(input: {
  startPressurePa: number
  startTemperatureK: number
  endTemperatureK: number
}): number {
  requireState(input.startPressurePa, input.startTemperatureK)
  requireWithin(
    say.trade.gasTemperature,
    input.endTemperatureK,
    NITROGEN_VALIDITY.lowK,
    NITROGEN_VALIDITY.highK,
    'K',
  )
  if (input.endTemperatureK === input.startTemperatureK) return input.startPressurePa
  const ideal = idealEndPressure(input)
  const startZ = factorsAt(input.startPressurePa, input.startTemperatureK).z
  let end = ideal
  for (let round = 0; round < 50; round += 1) {
    const next = (ideal * factorsAt(end, input.endTemperatureK).z) / startZ
    const done = Math.abs(next - end) <= 1e-13 * next
    end = next
    if (done) break
  }
  return requireWithin(say.trade.endPressure, end, 0, NITROGEN_VALIDITY.highPa, 'Pa')
}

/** The same for an ideal gas: p₂ = p₁·T₂/T₁ with absolute pressures and temperatures. */
export function idealEndPressure(input: {
  startPressurePa: number
  startTemperatureK: number
  endTemperatureK: number
}): number {
  requirePositive(say.trade.absolutePressure, input.startPressurePa, 'Pa')
  requirePositive(say.trade.gasTemperature, input.startTemperatureK, 'K')
  requirePositive(say.trade.gasTemperature, input.endTemperatureK, 'K')
  return (input.startPressurePa * input.endTemperatureK) / input.startTemperatureK
}
