// What is each criterion called, and how is its value said?

import type { SentCriteria } from '../../server/http/policy.ts'
import type { EvidencePhoto } from '../../server/rules/policy.ts'
import {
  formatNumber,
  fromSi,
  type QuantityKind,
  toSi,
  UNIT_LABELS,
  type Unit,
} from '../../server/trade/units.ts'
import type { InstrumentKind } from '../../server/vocabulary.ts'
import { LANGUAGES } from '../../server/vocabulary.ts'
import { LANGUAGE_NAMES, say } from '../../server/words/say.ts'

export type { SentCriteria }

/** How a criterion is asked for and said. The first unit is the usual one. */
export type Ask =
  | { kind: 'quantity'; quantity: QuantityKind; units: readonly [Unit, ...Unit[]] }
  | { kind: 'number' }
  | { kind: 'choice'; options: readonly { value: string; label: string }[] }
  | { kind: 'yes-no' }

export interface CriterionWords {
  /** As it is sent. */
  path: string
  label: string
  hint?: string
  ask: Ask
}

const minutes: Ask = { kind: 'quantity', quantity: 'time', units: ['min', 'h', 's'] }
const deep: Ask = { kind: 'quantity', quantity: 'absolute-pressure', units: ['micron', 'Pa', 'torr', 'mbar'] }
const difference: Ask = { kind: 'quantity', quantity: 'temperature-difference', units: ['K', 'degF.diff'] }
const number: Ask = { kind: 'number' }

export const theCriteria = (): readonly { title: string; criteria: readonly CriterionWords[] }[] => [
  {
    title: say.people.howNumbersAreJudged,
    criteria: [
      {
        path: 'decisionRule',
        label: say.people.decisionRule,
        hint: say.people.simpleTakesTheReading,
        ask: {
          kind: 'choice',
          options: [
            { value: 'simple', label: say.people.simple },
            { value: 'guarded', label: say.people.guarded },
          ],
        },
      },
      {
        path: 'torqueFamily',
        label: say.people.torqueSetWhereThe,
        ask: {
          kind: 'choice',
          options: [
            { value: 'jis-b-8607-class-2', label: say.people.jisB8607Class },
            { value: 'kgf-cm-set', label: say.people.theKgfCmSet },
            { value: 'en-378-2', label: say.people.en3782AsYou },
          ],
        },
      },
      {
        path: 'gwpBasis',
        label: say.people.basisOfCoEquivalents,
        ask: { kind: 'choice', options: ['AR4', 'AR5', 'AR6'].map((value) => ({ value, label: value })) },
      },
    ],
  },
  {
    title: say.people.standingPressureTest,
    criteria: [
      { path: 'pressure.hold', label: say.people.holdAtLeast, ask: minutes },
      { path: 'pressure.settle', label: say.people.firstHoldReadingNot, ask: minutes },
      {
        path: 'pressure.bandMinimum',
        label: say.people.largestFallThatMay,
        ask: { kind: 'quantity', quantity: 'pressure', units: ['kPa', 'psi', 'bar', 'Pa'] },
      },
      {
        path: 'pressure.bandFraction',
        label: say.people.theSameAsA,
        hint: say.people.n001IsOne,
        ask: number,
      },
      {
        path: 'pressure.temperatureFollowing',
        label: say.people.shareOfATemperature,
        hint: say.people.between0And1,
        ask: number,
      },
    ],
  },
  {
    title: say.people.evacuationAndDecay,
    criteria: [
      { path: 'vacuum.target', label: say.people.pullDownTo, ask: deep },
      { path: 'vacuum.limit', label: say.people.stayBelowIsolated, ask: deep },
      { path: 'vacuum.hold', label: say.people.isolatedAtLeast, ask: minutes },
      { path: 'vacuum.horizon', label: say.people.judgeTheRiseAs, ask: minutes },
    ],
  },
  {
    title: say.people.chargeAndRunning,
    criteria: [
      {
        path: 'charge.toleranceMinimum',
        label: say.people.chargeMayDifferBy,
        ask: { kind: 'quantity', quantity: 'mass', units: ['g', 'kg', 'oz', 'lb'] },
      },
      {
        path: 'charge.toleranceFraction',
        label: say.people.theSameAsAShare,
        hint: say.people.n003IsThree,
        ask: number,
      },
      { path: 'running.steady', label: say.people.runSteadilyAtLeast, ask: minutes },
      {
        path: 'running.subcoolingTolerance',
        label: say.people.subcoolingMayDifferBy,
        hint: say.people.whereTheSheetStates,
        ask: difference,
      },
      {
        path: 'running.superheatTolerance',
        label: say.people.superheatMayDifferBy,
        hint: say.people.whereTheSheetStates,
        ask: difference,
      },
    ],
  },
  {
    title: say.people.releaseAndFigures,
    criteria: [
      {
        path: 'selfSignOff',
        label: say.people.maySomebodySignOff,
        hint: say.people.theCertificateSaysSo,
        ask: { kind: 'yes-no' },
      },
      {
        path: 'personFigures',
        label: say.people.whoSeesLeakFigures,
        hint: say.people.theyArePersonnelData,
        ask: {
          kind: 'choice',
          options: [
            { value: 'off', label: say.people.nobody },
            { value: 'own-only', label: say.people.eachTheirOwn },
            { value: 'managers', label: say.people.managersAndEachTheir },
          ],
        },
      },
      {
        path: 'certificateLanguage',
        label: say.people.certificatesAreWritten,
        hint: say.people.whatIsSealedStays,
        ask: {
          kind: 'choice',
          options: LANGUAGES.map((value) => ({ value, label: LANGUAGE_NAMES[value] })),
        },
      },
    ],
  },
]

export const instrumentWords = (): Record<InstrumentKind, string> => ({
  'torque-wrench': say.people.torqueWrench,
  'pressure-gauge': say.people.pressureGauge,
  'vacuum-gauge': say.people.vacuumGauge,
  thermometer: say.people.thermometer,
  scale: say.people.scale,
  'leak-detector': say.people.leakDetector,
  'flaring-tool': say.people.flaringTool,
  'press-tool': say.people.pressTool,
  'tube-cutter': say.people.tubeCutter,
  'deburring-tool': say.people.deburringTool,
})

export const thePhotoWords = (): Record<EvidencePhoto, string> => ({
  'gauge-at-start': say.people.gaugeAtTheStart,
  'gauge-at-end': say.people.gaugeAtTheEnd,
  'vacuum-at-isolation': say.people.vacuumGaugeAtIsolation,
  'vacuum-at-end': say.people.vacuumGaugeAtThe,
  'unit-plates': say.people.platesOfTheUnits,
  'indoor-joints': say.people.indoorJointsBeforeThey,
})

/** What stands at a path; undefined where nothing does. */
export function valueAt(criteria: SentCriteria, path: string): unknown {
  return path
    .split('.')
    .reduce<unknown>((at, name) => (at as Record<string, unknown> | null)?.[name], criteria)
}

interface Sent {
  value: number
  unit: Unit
}

/** A quantity in another unit, with no more figures than a form needs. */
export function inUnit(quantity: QuantityKind, sent: Sent, unit: Unit): number {
  const any = (of: Sent) => of as never
  const value = sent.unit === unit ? sent.value : fromSi(quantity, toSi(quantity, any(sent)), unit as never)
  return Number(value.toPrecision(6))
}

/** The value in words, in the usual unit. */
export function said(ask: Ask, value: unknown): string {
  if (ask.kind === 'yes-no') return value === true ? say.people.yes : say.people.no
  if (ask.kind === 'choice') return ask.options.find((one) => one.value === value)?.label ?? say.people.notSet
  if (ask.kind === 'number') return formatNumber(Number(value))
  const figure = Number(inUnit(ask.quantity, value as Sent, ask.units[0]).toPrecision(4))
  return `${formatNumber(figure)}\u00a0${UNIT_LABELS[ask.units[0]]}`
}
