// By which steps did a computation come to its number? The formula with the numbers put in, for calculator and record alike.

import type { WorkedProps, WorkedStep } from '../../views/parts/worked.tsx'
import { SERVICE_TEMPERATURE_K, scalingStates, type TestGas } from '../trade/leak-rate.ts'
import { compressibility, slopeAtConstantDensity } from '../trade/nitrogen.ts'
import { type RefrigerantName, refrigerant } from '../trade/refrigerants.ts'
import type { StandingPressureJudgement } from '../trade/standing-pressure.ts'
import { type Adapter, adapterFactor } from '../trade/torque.ts'
import { formatNumber, fromSi, type PressureUnit, type TorqueUnit, UNIT_LABELS } from '../trade/units.ts'
import { exactly, figure, inUnit } from './calculator.ts'

const percent = (share: number) => `${formatNumber(Number((100 * share).toPrecision(3)))} %`

export interface TorqueFigures {
  unit: TorqueUnit
  lowNm: number
  highNm: number
  adapter?: Adapter | undefined
  accuracyPercent: number
  /** What the wrench showed; without it only the setting is worked out. */
  readingNm?: number | undefined
  acceptance: { lowNm: number; highNm: number }
  probabilityInRange?: number | undefined
}

export function torqueSteps(torque: TorqueFigures): WorkedProps {
  const wordOf = (torqueNm: number) => figure(fromSi('torque', torqueNm, torque.unit))
  const label = UNIT_LABELS[torque.unit]
  const middleNm = (torque.lowNm + torque.highNm) / 2
  const factor = adapterFactor(torque.adapter)
  const { adapter } = torque
  const lever = adapter
    ? `(${figure(adapter.wrenchLengthM * 1000)} + ${figure(adapter.offsetM * 1000)} · cos ${figure(adapter.angleDegrees ?? 0)}°)`
    : ''
  const length = adapter ? figure(adapter.wrenchLengthM * 1000) : ''
  const steps: WorkedStep[] = [
    {
      says: 'The middle of the range leaves equal room on both sides.',
      formula: 'T = (low + high) / 2',
      numbers: `T = (${wordOf(torque.lowNm)} + ${wordOf(torque.highNm)}) / 2 = ${wordOf(middleNm)} ${label}`,
    },
    adapter
      ? {
          says: 'The adapter makes the lever longer or shorter: L from drive to grip, E from drive to nut, a the angle between them (lengths in mm).',
          formula: 'S = T · L / (L + E · cos a)',
          numbers: `S = ${wordOf(middleNm)} · ${length} / ${lever} = ${wordOf(middleNm / factor)} ${label}`,
        }
      : {
          says: 'Without an adapter the setting is the torque itself.',
          formula: 'S = T',
          numbers: `S = ${wordOf(middleNm)} ${label}`,
        },
  ]
  const share = torque.accuracyPercent / 100
  if (torque.readingNm !== undefined) {
    const appliedNm = torque.readingNm * factor
    steps.push(
      {
        says: 'What the nut got, by what the wrench showed.',
        formula: adapter ? 'M_nut = M · (L + E · cos a) / L' : 'M_nut = M',
        numbers: adapter
          ? `M_nut = ${wordOf(torque.readingNm)} · ${lever} / ${length} = ${wordOf(appliedNm)} ${label}`
          : `M_nut = ${wordOf(appliedNm)} ${label}`,
      },
      {
        says: 'The wrench’s error lies anywhere within its stated accuracy, equally likely.',
        formula: 'U = p · M_nut',
        numbers: `U = ${formatNumber(torque.accuracyPercent)} % · ${wordOf(appliedNm)} = ${wordOf(share * appliedNm)} ${label}: between ${wordOf(appliedNm * (1 - share))} and ${wordOf(appliedNm * (1 + share))} ${label}`,
      },
    )
    if (torque.probabilityInRange !== undefined) {
      const [from, to] = [appliedNm * (1 - share), appliedNm * (1 + share)]
      steps.push({
        says: 'The part of that span that lies inside the range. It speaks of the torque, not of the joint.',
        ...(share > 0
          ? {
              formula: 'P = (min(high, M_nut + U) − max(low, M_nut − U)) / (2 · U), never below nothing',
              numbers: `P = (min(${wordOf(torque.highNm)}, ${wordOf(to)}) − max(${wordOf(torque.lowNm)}, ${wordOf(from)})) / (2 · ${wordOf(share * appliedNm)}) = ${percent(torque.probabilityInRange)}`,
            }
          : { numbers: `P = ${percent(torque.probabilityInRange)}: the wrench is taken to have no error` }),
      })
    }
  }
  steps.push({
    says: 'By the simple rule a reading in the range is accepted; by the guarded one the whole of its error must fit.',
    formula: 'low / (1 − p)  to  high / (1 + p)',
    numbers: `simple ${wordOf(torque.lowNm)} to ${wordOf(torque.highNm)}; guarded ${wordOf(torque.lowNm / (1 - share))} to ${wordOf(torque.highNm / (1 + share))} ${label}`,
  })
  return {
    steps,
    source: 'US Army TM 9-254 and US Navy aviation training (adapter); JCGM 106:2012 (probability)',
    validity:
      'Holds while you pull at the grip’s mark, with an adapter shorter than the wrench when turned back.',
    methodHref: '/methods/torque',
  }
}

export interface HoldFigures {
  unit: PressureUnit
  start: { gaugePressurePa: number; temperatureK: number }
  end: { gaugePressurePa: number; temperatureK: number }
  airPa: number
  /** Short-term uncertainty of one reading. */
  gaugePa: number
  thermometerK: number
  following: number
  volumeM3: number | null
  /** With these two the leak is also said as refrigerant in service. */
  refrigerant?: RefrigerantName | undefined
  medium?: string | undefined
  judgement: StandingPressureJudgement
}

/** Null where the test has no change to explain. */
export function holdSteps(hold: HoldFigures): WorkedProps | null {
  const { judgement, start, end, airPa, unit } = hold
  const { changePa, changeUncertaintyPa, expectedGaugePressurePa, bandPa, roundingPa } = judgement
  if (
    changePa === null ||
    changeUncertaintyPa === null ||
    expectedGaugePressurePa === null ||
    bandPa === null
  )
    return null
  const real = judgement.law === 'real-gas-nitrogen'
  const startPa = start.gaugePressurePa + airPa
  const expectedPa = expectedGaugePressurePa + airPa
  const mpa = (pressurePa: number) => exactly(pressurePa / 1e6, 4)
  const kpa = (pressurePa: number) => exactly(pressurePa / 1e3, 1)
  const kelvin = (temperatureK: number) => exactly(temperatureK, 2)
  const slope = real ? slopeAtConstantDensity(startPa, start.temperatureK) : startPa / start.temperatureK
  const differenceK = Math.abs(end.temperatureK - start.temperatureK)
  const thermometer = `s · t = ${kpa(slope)} · ${figure(hold.thermometerK)} = ${kpa(slope * hold.thermometerK)} kPa`
  const lag = `s · r · |T_2 − T_1| = ${kpa(slope)} · ${formatNumber(hold.following)} · ${exactly(differenceK, 2)} = ${kpa(slope * hold.following * differenceK)} kPa`
  const steps: WorkedStep[] = [
    {
      says: 'Gases follow absolute pressure and absolute temperature: the air’s pressure is added, and 273.15.',
      formula: 'p = p_gauge + p_air',
      numbers: `p_1 = ${mpa(start.gaugePressurePa)} + ${mpa(airPa)} = ${mpa(startPa)} MPa; T_1 = ${kelvin(start.temperatureK)} K, T_2 = ${kelvin(end.temperatureK)} K`,
    },
    real
      ? {
          says: 'A tight system keeps its density. Z says how far nitrogen is from an ideal gas.',
          formula: 'p_2 = p_1 · (Z_2 · T_2) / (Z_1 · T_1)',
          numbers: `p_2 = ${mpa(startPa)} · (${exactly(compressibility(expectedPa, end.temperatureK), 4)} · ${kelvin(end.temperatureK)}) / (${exactly(compressibility(startPa, start.temperatureK), 4)} · ${kelvin(start.temperatureK)}) = ${mpa(expectedPa)} MPa, on the gauge ${inUnit('pressure', expectedGaugePressurePa, unit)}`,
        }
      : {
          says: 'A tight system keeps its density; this gas counts as an ideal one.',
          formula: 'p_2 = p_1 · T_2 / T_1',
          numbers: `p_2 = ${mpa(startPa)} · ${kelvin(end.temperatureK)} / ${kelvin(start.temperatureK)} = ${mpa(expectedPa)} MPa, on the gauge ${inUnit('pressure', expectedGaugePressurePa, unit)}`,
        },
    judgement.method === 'regression'
      ? {
          says: 'A straight line through all hold readings, each brought to the last temperature, says how far the pressure moved beyond that.',
          formula: 'change = slope of the line · time held',
          numbers: `change = ${kpa(changePa)} kPa`,
        }
      : {
          says: 'What was read, less what was to be expected.',
          formula: 'change = p_read − p_2',
          numbers: `change = ${mpa(end.gaugePressurePa + airPa)} − ${mpa(expectedPa)} MPa = ${kpa(changePa)} kPa`,
        },
    {
      says: `How sure that is: g and t are what one reading of gauge and thermometer may be off, s the rise for a kelvin, r = ${formatNumber(hold.following)} the part by which the gas may lag behind the thermometer.`,
      ...(judgement.method === 'regression'
        ? {
            formula: 'U from the line’s own error and s · r · |T_2 − T_1|',
            numbers: `g = ${kpa(hold.gaugePa)} kPa, ${thermometer}, ${lag}: U = ${kpa(changeUncertaintyPa)} kPa`,
          }
        : judgement.notes.some((note) => note.code === 'instrument-changed')
          ? {
              formula: 'U from the full accuracies of both instruments and s · r · |T_2 − T_1|',
              numbers: `${lag}: U = ${kpa(changeUncertaintyPa)} kPa`,
            }
          : {
              formula: 'U = √(2 · g^2 + 2 · (s · t)^2 + (s · r · |T_2 − T_1|)^2)',
              numbers: `U = √(2 · ${kpa(hold.gaugePa)}^2 + 2 · (${kpa(slope)} · ${figure(hold.thermometerK)})^2 + (${kpa(slope)} · ${formatNumber(hold.following)} · ${exactly(differenceK, 2)})^2) = ${kpa(changeUncertaintyPa)} kPa`,
            }),
    },
    {
      says: `It falls when even U${roundingPa ? ` and the gauge’s own step (${kpa(roundingPa)} kPa)` : ''} can’t explain the change; it holds when the change with U stays within τ on both sides; else nobody can tell.`,
      formula: roundingPa
        ? 'falls: change + U + rounding < 0; holds: |change| + U ≤ τ'
        : 'falls: change + U < 0; holds: |change| + U ≤ τ',
      numbers: `change + U${roundingPa ? ' + rounding' : ''} = ${kpa(changePa + changeUncertaintyPa + (roundingPa ?? 0))} kPa; |change| + U = ${kpa(Math.abs(changePa) + changeUncertaintyPa)} kPa; τ = ${kpa(bandPa)} kPa`,
    },
  ]
  if (
    hold.volumeM3 !== null &&
    judgement.leakRatePaM3PerS !== null &&
    judgement.smallestSeenLeakPaM3PerS !== null
  ) {
    const litres = figure(hold.volumeM3 * 1000)
    const heldS = formatNumber(Math.round(judgement.holdS))
    steps.push(
      {
        says: 'Times the volume and over the time held, that is a leak; below nothing when the pressure rose.',
        formula: 'q = −V · change / t',
        numbers: `q = −${litres} L · (${exactly(changePa / 1e3, 3)} kPa) / ${heldS} s = ${figure(judgement.leakRatePaM3PerS, 3)} Pa·m³/s`,
      },
      {
        says: 'A larger leak than this would not have been called holding (97.5 %).',
        formula: roundingPa ? 'q_seen = V · min(τ, 2 · U + rounding) / t' : 'q_seen = V · min(τ, 2 · U) / t',
        numbers: `q_seen = ${litres} L · min(${kpa(bandPa)}, 2 · ${exactly(changeUncertaintyPa / 1e3, 2)}${roundingPa ? ` + ${exactly(roundingPa / 1e3, 2)}` : ''}) kPa / ${heldS} s = ${figure(judgement.smallestSeenLeakPaM3PerS, 3)} Pa·m³/s`,
      },
    )
    const seenKgPerYear = judgement.smallestSeenRefrigerantKgPerYear
    if (hold.refrigerant !== undefined && seenKgPerYear !== null) {
      steps.push(
        inServiceStep({
          refrigerant: hold.refrigerant,
          testGas: hold.medium === 'helium' ? 'helium' : 'nitrogen',
          testAbsolutePa: startPa,
          airPa,
          leakPaM3PerS: judgement.smallestSeenLeakPaM3PerS,
          kgPerYear: seenKgPerYear,
        }),
      )
    }
  }
  return {
    steps,
    source: real
      ? 'nitrogen by our fit to Span et al., J. Phys. Chem. Ref. Data 29 (2000) 1361; r, τ and a quarter of the accuracy for g: common practice, no source'
      : 'ideal gas; r, τ and a quarter of the accuracy for g: common practice, no source',
    validity: real
      ? 'From −30 to 70 °C, up to 6 MPa absolute; the expected pressure is right to 0.006 %.'
      : '',
    methodHref: '/methods/standing-pressure',
  }
}

/** From a leak of test gas to the refrigerant that would be lost in a year, or back: one line, since the two are proportional. */
export function inServiceStep(leak: {
  refrigerant: RefrigerantName
  testGas: TestGas
  testAbsolutePa: number
  airPa: number
  leakPaM3PerS: number
  kgPerYear: number
}): WorkedStep {
  const { test, service } = scalingStates({ ...leak, atmosphericPa: leak.airPa })
  const drive = (state: typeof test) =>
    `(${exactly(state.highPa / 1e6, 3)}^2 − ${exactly(state.lowPa / 1e6, 3)}^2) / ${figure(state.viscosityPaS * 1e6)}`
  const molarMass = refrigerant(leak.refrigerant).molarMassKgPerMol
  return {
    says: `As ${leak.refrigerant} in service, at its boiling pressure at 25 °C: a leak carries more the higher the pressure and the thinner the gas (MPa, µPa·s). An estimate.`,
    formula:
      'm = q · [(p_in^2 − p_out^2) / η]_service / [(p_in^2 − p_out^2) / η]_test · M · 31\u00a0536\u00a0000 s / (R · T)',
    numbers: `m = ${figure(leak.leakPaM3PerS, 3)} · [${drive(service)}] / [${drive(test)}] · ${figure(molarMass * 1000)} g/mol · 31\u00a0536\u00a0000 / (8.3145 · ${exactly(SERVICE_TEMPERATURE_K, 2)}) = ${figure(leak.kgPerYear * 1000, 3)} g/year`,
  }
}
