// Is the right mass of refrigerant in the circuit? One judgement for the technician's answer and for the hold point.

import { type ChargeScheme, co2Equivalent, requiredCharge } from '../trade/charge.ts'
import { sameTubeSize } from '../trade/tube.ts'
import { say } from '../words/say.ts'
import { latest } from './chronology.ts'
import type { EquipmentSheet, Instrument, System, Unit } from './dossier.ts'
import { ASSUMED_ERROR, errorOf } from './instrument-error.ts'
import { type NetCharge, netCharge, netChargeInWords } from './net-charge.ts'
import type { Policy } from './policy.ts'
import { standingLines } from './scope.ts'
import { kilograms, sheetSource } from './wording.ts'

export type { NetCharge } from './net-charge.ts'
export { netCharge } from './net-charge.ts'

export interface RequiredChargeFigure {
  factoryKg: number
  additionalKg: number
  totalKg: number
  source: string
}

export interface ChargeJudgement {
  /** `unknown`: the sheet or the record lacks what it takes to compare. */
  verdict: 'within' | 'under' | 'over' | 'above-maximum' | 'unknown'
  /** Null when the sheet does not say enough. */
  required: RequiredChargeFigure | null
  net: NetCharge
  /** What is in less what should be, kg. */
  differenceKg: number | null
  toleranceKg: number | null
  toleranceSource: string
  maximum: { massKg: number; source: string } | null
  co2e: { kg: number; gwp: number; basis: string; source: string } | null
  reason: string
}

export type RequiredChargeAnswer =
  | { known: true; figure: RequiredChargeFigure }
  | { known: false; because: string }

const unitsOf = (system: Pick<System, 'units'>, role: Unit['role']) =>
  system.units.filter((unit) => unit.role === role && unit.removedAt === null)

/** The mass that the system should hold, by its sheet's own scheme. There is no built-in adder. */
export function requiredChargeOf(
  system: Pick<System, 'sheet' | 'lineSets' | 'joints' | 'units'>,
): RequiredChargeAnswer {
  const { sheet } = system
  const lineSets = standingLines(system)
  if (!sheet) return { known: false, because: say.rules.thereIsNoEquipment }
  if (sheet.factoryChargeKg === null) return { known: false, because: say.rules.theSheetStatesNo }
  const scheme = schemeOf(sheet, lineSets)
  if ('because' in scheme) return { known: false, because: scheme.because }
  const indoorUnitMassesKg = unitsOf(system, 'indoor').flatMap(
    (unit) => sheet.perIndoorUnit.find((row) => row.model === unit.model)?.massKg ?? [],
  )
  try {
    const { additionalKg, totalKg } = requiredCharge({
      factoryChargeKg: sheet.factoryChargeKg,
      scheme,
      indoorUnitMassesKg,
    })
    const figure = { factoryKg: sheet.factoryChargeKg, additionalKg, totalKg, source: sheetSource(sheet) }
    return { known: true, figure }
  } catch (problem) {
    return { known: false, because: problem instanceof Error ? problem.message : String(problem) }
  }
}

function schemeOf(sheet: EquipmentSheet, lineSets: System['lineSets']): ChargeScheme | { because: string } {
  if (sheet.chargeScheme === 'maker-table') {
    if (sheet.makerTableChargeKg === null) return { because: say.rules.theMassFromThe }
    return { kind: 'maker-table', additionalKg: sheet.makerTableChargeKg, ...sheet.source }
  }
  if (sheet.prechargedLengthM === null) return { because: say.rules.theSheetStatesNoPre }
  const prechargedLengthM = sheet.prechargedLengthM
  const adder = (liquidOdM: number) =>
    sheet.chargeAdders.find((row) => sameTubeSize(row.liquidOdM, liquidOdM))?.kgPerM
  const total = lineSets.reduce((sum, line) => sum + line.lengthM, 0)
  if (sheet.chargeScheme === 'total-length') {
    const adders = new Set(lineSets.map((line) => adder(line.liquidOdM)))
    const [only] = adders
    if (total > prechargedLengthM && (adders.size !== 1 || only === undefined)) {
      return { because: say.rules.theSheetNamesNo }
    }
    return {
      kind: 'total-length',
      prechargedLengthM,
      adderKgPerM: only ?? 0,
      lines: lineSets.map(({ lengthM }) => ({ lengthM })),
    }
  }
  // Without a scheme there is nothing to compute, unless no line is longer than what is pre-charged.
  const longer = lineSets.filter((line) => line.lengthM > prechargedLengthM)
  if (sheet.chargeScheme === null && longer.length > 0) return { because: say.rules.theSheetStatesNoCharge }
  const unnamed = longer.find((line) => adder(line.liquidOdM) === undefined)
  if (unnamed) return { because: say.rules.theSheetNamesNoCharge(unnamed.name) }
  return {
    kind: 'per-line',
    prechargedLengthM,
    lines: lineSets.map((line) => ({ lengthM: line.lengthM, adderKgPerM: adder(line.liquidOdM) ?? 0 })),
  }
}

export function judgeCharge(
  system: System,
  { policy, instruments }: { policy: Policy; instruments: readonly Instrument[] },
): ChargeJudgement {
  const net = netCharge(system)
  const answer = requiredChargeOf(system)
  const { sheet } = system
  const maximum =
    sheet?.maxChargeKg != null ? { massKg: sheet.maxChargeKg, source: sheetSource(sheet) } : null
  const judgement: ChargeJudgement = {
    verdict: 'unknown',
    required: answer.known ? answer.figure : null,
    net,
    differenceKg: null,
    toleranceKg: null,
    toleranceSource: say.rules.policyTheLargerOf(
      kilograms(policy.charge.toleranceMinimumKg),
      policy.charge.toleranceFraction * 100,
    ),
    maximum,
    co2e: co2eOf(system, net.totalKg, policy),
    reason: '',
  }
  if (net.totalKg !== null && maximum && net.totalKg > maximum.massKg + 1e-9) {
    return {
      ...judgement,
      verdict: 'above-maximum',
      differenceKg: answer.known ? net.totalKg - answer.figure.totalKg : null,
      reason: say.rules.isAboveTheMost(kilograms(net.totalKg), kilograms(maximum.massKg), maximum.source),
    }
  }
  if (net.totalKg === null || !answer.known) {
    const because = answer.known ? net.unknown : answer.because
    return { ...judgement, reason: say.rules.theChargeCantBe(because) }
  }
  const { figure } = answer
  const weighed = latest(system.charges.filter((charge) => charge.scaleInstrumentId !== null))
  const scale = instruments.find((instrument) => instrument.id === weighed?.scaleInstrumentId)
  const scaleError = weighed
    ? errorOf(scale, net.weighedInKg, { absolute: ASSUMED_ERROR.scaleKg }).accuracy
    : 0
  const toleranceKg = Math.max(
    Math.SQRT2 * scaleError,
    policy.charge.toleranceMinimumKg,
    policy.charge.toleranceFraction * figure.totalKg,
  )
  const differenceKg = net.totalKg - figure.totalKg
  const slack = 1e-9
  const verdict =
    differenceKg < -toleranceKg - slack ? 'under' : differenceKg > toleranceKg + slack ? 'over' : 'within'
  const words = {
    within: 'matches',
    under: say.rules.isLessThan,
    over: say.rules.isMoreThan,
  }[verdict]
  return {
    ...judgement,
    verdict,
    differenceKg,
    toleranceKg,
    reason: say.rules.theOfTolerance(
      kilograms(net.totalKg),
      netChargeInWords(net),
      words,
      kilograms(figure.totalKg),
      figure.source,
      kilograms(toleranceKg),
    ),
  }
}

function co2eOf(system: System, totalKg: number | null, policy: Policy): ChargeJudgement['co2e'] {
  if (totalKg === null) return null
  try {
    const { co2eKg, gwp, basis, source } = co2Equivalent({
      refrigerant: system.refrigerant,
      massKg: totalKg,
      basis: policy.gwpBasis,
    })
    return { kg: co2eKg, gwp, basis, source }
  } catch {
    // Not every assessment report gives a value for every refrigerant; no figure is better than a wrong one.
    return null
  }
}
