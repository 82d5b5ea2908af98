/** How much refrigerant would be lost in a year through a leak seen with another gas at another pressure? */
import { say } from '../words/say.ts'
import { STANDARD_ATMOSPHERE_PA } from './atmosphere.ts'
import { GAS_CONSTANT } from './nitrogen.ts'
import { type RefrigerantName, refrigerant } from './refrigerants.ts'
import { saturationPressure } from './saturation.ts'
import { SECONDS_PER_YEAR } from './units.ts'
import { OutsideValidity, requireFinite, requireNotNegative, requirePositive } from './validity.ts'

/** Gases whose leaks are scaled: the test gases and air. */
export type TestGas = 'nitrogen' | 'helium' | 'air'

/** Dynamic viscosity at 25 °C and 101.325 kPa, Pa·s. */
const TEST_GAS_VISCOSITY_PA_S: Record<TestGas, number> = {
  /** CoolProp 8.0.0, published transport correlation. */
  nitrogen: 1.780474e-5,
  /** From memory of common gas tables, about 1 %. */
  helium: 1.985e-5,
  /** From memory of common gas tables, about 1 %. */
  air: 1.849e-5,
}

/** Molar masses, kg/mol (IUPAC atomic weights; air: dry air by ISO 2533, from memory). */
export const TEST_GAS_MOLAR_MASS_KG: Record<TestGas, number> = {
  nitrogen: 0.0280134,
  helium: 0.0040026,
  air: 0.0289644,
}

/** Service state of the estimate: the refrigerant stands at its bubble pressure at 25 °C. */
export const SERVICE_TEMPERATURE_K = 298.15

/**
 * Mass flow in kg/year of a gas throughput in Pa·m³/s: Q·M/(R·T), year of 365 days.
 * `temperatureK` is the temperature the throughput is stated at. Ideal gas; linear; sign kept.
 */
export function throughputToKgPerYear(input: {
  throughputPaM3PerS: number
  molarMassKgPerMol: number
  temperatureK: number
}): number {
  requireFinite(say.trade.leakRate, input.throughputPaM3PerS, 'Pa·m³/s')
  const mass = requirePositive(say.trade.molarMass, input.molarMassKgPerMol, 'kg/mol')
  const temperature = requirePositive(say.trade.temperature, input.temperatureK, 'K')
  return (input.throughputPaM3PerS * mass * SECONDS_PER_YEAR) / (GAS_CONSTANT * temperature)
}

/** The reverse of `throughputToKgPerYear`, in Pa·m³/s. */
export function kgPerYearToThroughput(input: {
  kgPerYear: number
  molarMassKgPerMol: number
  temperatureK: number
}): number {
  requireFinite(say.trade.massRate, input.kgPerYear, 'kg/year')
  const mass = requirePositive(say.trade.molarMass, input.molarMassKgPerMol, 'kg/mol')
  const temperature = requirePositive(say.trade.temperature, input.temperatureK, 'K')
  return (input.kgPerYear * GAS_CONSTANT * temperature) / (mass * SECONDS_PER_YEAR)
}

/** A state on both sides of a leak path: absolute pressures in Pa, viscosity in Pa·s. */
export interface LeakState {
  highPa: number
  lowPa: number
  viscosityPaS: number
}

/**
 * Factor by which a leak's throughput changes from one state to another when the flow is viscous and laminar:
 * Q ∝ (p₁² − p₂²)/η (EN 1779, from memory; vacuum-technique handbooks). An idealisation: wide or very fine leaks
 * flow otherwise, by a factor of several.
 */
export function viscousFactor(from: LeakState, to: LeakState): number {
  const drive = (state: LeakState) => {
    requireNotNegative(say.trade.absolutePressure, state.lowPa, 'Pa')
    requirePositive(say.trade.viscosity, state.viscosityPaS, 'Pa·s')
    if (!(requireFinite(say.trade.absolutePressure, state.highPa, 'Pa') > state.lowPa)) {
      throw new OutsideValidity(say.trade.absolutePressure, state.highPa, {
        low: state.lowPa,
        unit: 'Pa',
        because: say.trade.nothingDrivesTheLeak,
      })
    }
    return (state.highPa ** 2 - state.lowPa ** 2) / state.viscosityPaS
  }
  return drive(to) / drive(from)
}

function serviceState(name: RefrigerantName, atmosphericPa: number): LeakState {
  return {
    highPa: saturationPressure(name, 'bubble', SERVICE_TEMPERATURE_K),
    lowPa: atmosphericPa,
    viscosityPaS: refrigerant(name).gasViscosityPaS,
  }
}

/** What a leak is in service, for one test: the factor from its throughput (Pa·m³/s) to kg of refrigerant a year. */
function kgPerYearPerThroughput(name: RefrigerantName, test: LeakState, atmosphericPa: number): number {
  return (
    viscousFactor(test, serviceState(name, atmosphericPa)) *
    throughputToKgPerYear({
      throughputPaM3PerS: 1,
      molarMassKgPerMol: refrigerant(name).molarMassKgPerMol,
      temperatureK: SERVICE_TEMPERATURE_K,
    })
  )
}

interface PressureTestLeak {
  refrigerant: RefrigerantName
  testGas: TestGas
  /** Absolute pressure inside during the test, Pa. */
  testAbsolutePa: number
  atmosphericPa?: number | undefined
}

function pressureTestState(input: PressureTestLeak): { test: LeakState; atmosphericPa: number } {
  const atmosphericPa = input.atmosphericPa ?? STANDARD_ATMOSPHERE_PA
  const viscosityPaS = TEST_GAS_VISCOSITY_PA_S[input.testGas]
  return { test: { highPa: input.testAbsolutePa, lowPa: atmosphericPa, viscosityPaS }, atmosphericPa }
}

/** The two states between which a leak of a pressure test is scaled, for whoever explains the figure. */
export function scalingStates(input: PressureTestLeak): { test: LeakState; service: LeakState } {
  const { test, atmosphericPa } = pressureTestState(input)
  return { test, service: serviceState(input.refrigerant, atmosphericPa) }
}

/**
 * Estimate, kg/year: refrigerant lost in service (bubble pressure at 25 °C against the air) through a leak that
 * passed `leakPaM3PerS` of test gas. Always called an estimate: see `viscousFactor`. Negative in, negative out.
 */
export function serviceLossFromPressureTest(input: PressureTestLeak & { leakPaM3PerS: number }): number {
  const { test, atmosphericPa } = pressureTestState(input)
  return (
    requireFinite(say.trade.leakRate, input.leakPaM3PerS, 'Pa·m³/s') *
    kgPerYearPerThroughput(input.refrigerant, test, atmosphericPa)
  )
}

/** The reverse: the test-gas leak (Pa·m³/s) that would lose `kgPerYear` of refrigerant in service. */
export function pressureTestLeakFor(input: PressureTestLeak & { kgPerYear: number }): number {
  const { test, atmosphericPa } = pressureTestState(input)
  return (
    requireFinite(say.trade.massRate, input.kgPerYear, 'kg/year') /
    kgPerYearPerThroughput(input.refrigerant, test, atmosphericPa)
  )
}

/**
 * Estimate, kg/year: refrigerant lost in service through a leak that lets air of `leakPaM3PerS` into the evacuated
 * lines. Same idealisation; a flare may also seal differently under vacuum than under pressure.
 */
export function serviceLossFromVacuum(input: {
  refrigerant: RefrigerantName
  leakPaM3PerS: number
  atmosphericPa?: number | undefined
}): number {
  const atmosphericPa = input.atmosphericPa ?? STANDARD_ATMOSPHERE_PA
  const test = { highPa: atmosphericPa, lowPa: 0, viscosityPaS: TEST_GAS_VISCOSITY_PA_S.air }
  return (
    requireFinite(say.trade.leakRate, input.leakPaM3PerS, 'Pa·m³/s') *
    kgPerYearPerThroughput(input.refrigerant, test, atmosphericPa)
  )
}

/**
 * Built-in sensitivity of a bubble check: 15 g/year at 4.15 MPa gauge with nitrogen (about 1e-4 Pa·m³/s, the order
 * of magnitude of EN 1779, from memory).
 */
const BUBBLE_KG_PER_YEAR = 0.015
const BUBBLE_AT_GAUGE_PA = 4.15e6

/**
 * Smallest loss in service, kg/year, that bubbles show at a test pressure (Pa gauge): the built-in figure scaled
 * with the drive p₁² − p₂². Needs a gauge pressure above zero.
 */
export function bubbleSensitivity(
  gaugePressurePa: number,
  atmosphericPa: number = STANDARD_ATMOSPHERE_PA,
): number {
  requirePositive(say.trade.gaugePressure, gaugePressurePa, 'Pa')
  const state = (gauge: number): LeakState => ({
    highPa: gauge + atmosphericPa,
    lowPa: atmosphericPa,
    viscosityPaS: 1,
  })
  return BUBBLE_KG_PER_YEAR / viscousFactor(state(BUBBLE_AT_GAUGE_PA), state(gaugePressurePa))
}
