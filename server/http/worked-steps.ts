// By which steps did a computation come to its number? The formula with the numbers put in, for calculator and record alike.

import type { WorkedProps, WorkedStep } from '../../views/parts/worked.tsx'
import { SERVICE_TEMPERATURE_K, scalingStates, type TestGas } from '../trade/leak-rate.ts'
import { compressibility, slopeAtConstantDensity } from '../trade/nitrogen.ts'
import { type RefrigerantName, refrigerant } from '../trade/refrigerants.ts'
import type { StandingPressureJudgement } from '../trade/standing-pressure.ts'
import { type Adapter, adapterFactor } from '../trade/torque.ts'
import { formatNumber, fromSi, type PressureUnit, type TorqueUnit, UNIT_LABELS } from '../trade/units.ts'
import { say } from '../words/say.ts'
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
    ? say.worked.cos(
        figure(adapter.wrenchLengthM * 1000),
        figure(adapter.offsetM * 1000),
        figure(adapter.angleDegrees ?? 0),
      )
    : ''
  const length = adapter ? figure(adapter.wrenchLengthM * 1000) : ''
  const steps: WorkedStep[] = [
    {
      says: say.worked.theMiddleOfThe,
      formula: 'T = (low + high) / 2',
      numbers: `T = (${wordOf(torque.lowNm)} + ${wordOf(torque.highNm)}) / 2 = ${wordOf(middleNm)} ${label}`,
    },
    adapter
      ? {
          says: say.worked.theAdapterMakesThe,
          formula: 'S = T · L / (L + E · cos a)',
          numbers: `S = ${wordOf(middleNm)} · ${length} / ${lever} = ${wordOf(middleNm / factor)} ${label}`,
        }
      : {
          says: say.worked.withoutAnAdapterThe,
          formula: 'S = T',
          numbers: `S = ${wordOf(middleNm)} ${label}`,
        },
  ]
  const share = torque.accuracyPercent / 100
  if (torque.readingNm !== undefined) {
    const appliedNm = torque.readingNm * factor
    steps.push(
      {
        says: say.worked.whatTheNutGot,
        formula: adapter ? 'M_nut = M · (L + E · cos a) / L' : 'M_nut = M',
        numbers: adapter
          ? `M_nut = ${wordOf(torque.readingNm)} · ${lever} / ${length} = ${wordOf(appliedNm)} ${label}`
          : `M_nut = ${wordOf(appliedNm)} ${label}`,
      },
      {
        says: say.worked.theWrenchsErrorLies,
        formula: 'U = p · M_nut',
        numbers: say.worked.uBetweenAnd(
          formatNumber(torque.accuracyPercent),
          wordOf(appliedNm),
          wordOf(share * appliedNm),
          label,
          wordOf(appliedNm * (1 - share)),
          wordOf(appliedNm * (1 + share)),
          label,
        ),
      },
    )
    if (torque.probabilityInRange !== undefined) {
      const [from, to] = [appliedNm * (1 - share), appliedNm * (1 + share)]
      steps.push({
        says: say.worked.thePartOfThat,
        ...(share > 0
          ? {
              formula: say.worked.pMinHighM,
              numbers: `P = (min(${wordOf(torque.highNm)}, ${wordOf(to)}) − max(${wordOf(torque.lowNm)}, ${wordOf(from)})) / (2 · ${wordOf(share * appliedNm)}) = ${percent(torque.probabilityInRange)}`,
            }
          : { numbers: say.worked.pTheWrenchIs(percent(torque.probabilityInRange)) }),
      })
    }
  }
  steps.push({
    says: say.worked.byTheSimpleRule,
    formula: 'low / (1 − p)  to  high / (1 + p)',
    numbers: say.worked.simpleToGuardedTo(
      wordOf(torque.lowNm),
      wordOf(torque.highNm),
      wordOf(torque.lowNm / (1 - share)),
      wordOf(torque.highNm / (1 + share)),
      label,
    ),
  })
  return {
    steps,
    source: say.worked.usArmyTm9,
    validity: say.worked.holdsWhileYouPull,
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
      says: say.worked.gasesFollowAbsolutePressure,
      formula: 'p = p_gauge + p_air',
      numbers: `p_1 = ${mpa(start.gaugePressurePa)} + ${mpa(airPa)} = ${mpa(startPa)} MPa; T_1 = ${kelvin(start.temperatureK)} K, T_2 = ${kelvin(end.temperatureK)} K`,
    },
    real
      ? {
          says: say.worked.aTightSystemKeeps,
          formula: 'p_2 = p_1 · (Z_2 · T_2) / (Z_1 · T_1)',
          numbers: say.worked.p2MpaOn(
            mpa(startPa),
            exactly(compressibility(expectedPa, end.temperatureK), 4),
            kelvin(end.temperatureK),
            exactly(compressibility(startPa, start.temperatureK), 4),
            kelvin(start.temperatureK),
            mpa(expectedPa),
            inUnit('pressure', expectedGaugePressurePa, unit),
          ),
        }
      : {
          says: say.worked.aTightSystemKeepsIts,
          formula: 'p_2 = p_1 · T_2 / T_1',
          numbers: say.worked.p2MpaOnThe(
            mpa(startPa),
            kelvin(end.temperatureK),
            kelvin(start.temperatureK),
            mpa(expectedPa),
            inUnit('pressure', expectedGaugePressurePa, unit),
          ),
        },
    judgement.method === 'regression'
      ? {
          says: say.worked.aStraightLineThrough,
          formula: say.worked.changeSlopeOfThe,
          numbers: `change = ${kpa(changePa)} kPa`,
        }
      : {
          says: say.worked.whatWasReadLess,
          formula: 'change = p_read − p_2',
          numbers: `change = ${mpa(end.gaugePressurePa + airPa)} − ${mpa(expectedPa)} MPa = ${kpa(changePa)} kPa`,
        },
    {
      says: say.worked.howSureThatIs(formatNumber(hold.following)),
      ...(judgement.method === 'regression'
        ? {
            formula: say.worked.uFromTheLines,
            numbers: `g = ${kpa(hold.gaugePa)} kPa, ${thermometer}, ${lag}: U = ${kpa(changeUncertaintyPa)} kPa`,
          }
        : judgement.notes.some((note) => note.code === 'instrument-changed')
          ? {
              formula: say.worked.uFromTheFull,
              numbers: `${lag}: U = ${kpa(changeUncertaintyPa)} kPa`,
            }
          : {
              formula: 'U = √(2 · g^2 + 2 · (s · t)^2 + (s · r · |T_2 − T_1|)^2)',
              numbers: `U = √(2 · ${kpa(hold.gaugePa)}^2 + 2 · (${kpa(slope)} · ${figure(hold.thermometerK)})^2 + (${kpa(slope)} · ${formatNumber(hold.following)} · ${exactly(differenceK, 2)})^2) = ${kpa(changeUncertaintyPa)} kPa`,
            }),
    },
    {
      says: say.worked.itFallsWhenEven(roundingPa ? say.worked.andTheGaugesOwn(kpa(roundingPa)) : ''),
      formula: roundingPa ? say.worked.fallsChangeURounding : say.worked.fallsChangeU0,
      numbers: `change + U${roundingPa ? say.worked.rounding : ''} = ${kpa(changePa + changeUncertaintyPa + (roundingPa ?? 0))} kPa; |change| + U = ${kpa(Math.abs(changePa) + changeUncertaintyPa)} kPa; τ = ${kpa(bandPa)} kPa`,
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
        says: say.worked.timesTheVolumeAnd,
        formula: 'q = −V · change / t',
        numbers: `q = −${litres} L · (${exactly(changePa / 1e3, 3)} kPa) / ${heldS} s = ${figure(judgement.leakRatePaM3PerS, 3)} Pa·m³/s`,
      },
      {
        says: say.worked.aLargerLeakThan,
        formula: roundingPa ? say.worked.qSeenVMin : 'q_seen = V · min(τ, 2 · U) / t',
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
    source: real ? say.worked.nitrogenByOurFit : say.worked.idealGasRAnd,
    validity: real ? say.worked.from30To70 : '',
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
    says: say.worked.asInServiceAt(leak.refrigerant),
    formula:
      'm = q · [(p_in^2 − p_out^2) / η]_service / [(p_in^2 − p_out^2) / η]_test · M · 31\u00a0536\u00a0000 s / (R · T)',
    numbers: say.worked.mGMol31(
      figure(leak.leakPaM3PerS, 3),
      drive(service),
      drive(test),
      figure(molarMass * 1000),
      exactly(SERVICE_TEMPERATURE_K, 2),
      figure(leak.kgPerYear * 1000, 3),
    ),
  }
}
