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

export const CRITERIA: readonly { title: string; criteria: readonly CriterionWords[] }[] = [
  {
    title: 'How numbers are judged',
    criteria: [
      {
        path: 'decisionRule',
        label: 'Decision rule',
        hint: 'Simple takes the reading as it stands. Guarded keeps its uncertainty away from the limits.',
        ask: {
          kind: 'choice',
          options: [
            { value: 'simple', label: 'simple' },
            { value: 'guarded', label: 'guarded' },
          ],
        },
      },
      {
        path: 'torqueFamily',
        label: 'Torque set where the sheet states none',
        ask: {
          kind: 'choice',
          options: [
            { value: 'jis-b-8607-class-2', label: 'JIS B 8607 class 2' },
            { value: 'kgf-cm-set', label: 'the kgf·cm set' },
            { value: 'en-378-2', label: 'EN 378-2, as you entered it' },
          ],
        },
      },
      {
        path: 'gwpBasis',
        label: 'Basis of CO₂-equivalents',
        ask: { kind: 'choice', options: ['AR4', 'AR5', 'AR6'].map((value) => ({ value, label: value })) },
      },
    ],
  },
  {
    title: 'Standing pressure test',
    criteria: [
      { path: 'pressure.hold', label: 'Hold at least', ask: minutes },
      { path: 'pressure.settle', label: 'First hold reading not before', ask: minutes },
      {
        path: 'pressure.bandMinimum',
        label: 'Largest fall that may stay unseen, at least',
        ask: { kind: 'quantity', quantity: 'pressure', units: ['kPa', 'psi', 'bar', 'Pa'] },
      },
      {
        path: 'pressure.bandFraction',
        label: 'The same, as a share of the test pressure',
        hint: '0.01 is one in a hundred. The larger of the two counts.',
        ask: number,
      },
      {
        path: 'pressure.temperatureFollowing',
        label: 'Share of a temperature change that the gas may lag behind the sensor',
        hint: 'Between 0 and 1; 1 for lines in the sun.',
        ask: number,
      },
    ],
  },
  {
    title: 'Evacuation and decay',
    criteria: [
      { path: 'vacuum.target', label: 'Pull down to', ask: deep },
      { path: 'vacuum.limit', label: 'Stay below, isolated', ask: deep },
      { path: 'vacuum.hold', label: 'Isolated at least', ask: minutes },
      { path: 'vacuum.horizon', label: 'Judge the rise as far ahead as', ask: minutes },
    ],
  },
  {
    title: 'Charge and running',
    criteria: [
      {
        path: 'charge.toleranceMinimum',
        label: 'Charge may differ by at least',
        ask: { kind: 'quantity', quantity: 'mass', units: ['g', 'kg', 'oz', 'lb'] },
      },
      {
        path: 'charge.toleranceFraction',
        label: 'The same, as a share of the total',
        hint: '0.03 is three in a hundred. The larger counts.',
        ask: number,
      },
      { path: 'running.steady', label: 'Run steadily at least', ask: minutes },
      {
        path: 'running.subcoolingTolerance',
        label: 'Subcooling may differ by',
        hint: 'Where the sheet states no tolerance.',
        ask: difference,
      },
      {
        path: 'running.superheatTolerance',
        label: 'Superheat may differ by',
        hint: 'Where the sheet states no tolerance.',
        ask: difference,
      },
    ],
  },
  {
    title: 'Release and figures',
    criteria: [
      {
        path: 'selfSignOff',
        label: 'May somebody sign off work that they did or recorded?',
        hint: 'The certificate says so.',
        ask: { kind: 'yes-no' },
      },
      {
        path: 'personFigures',
        label: 'Who sees leak figures by person',
        hint: 'They are personnel data.',
        ask: {
          kind: 'choice',
          options: [
            { value: 'off', label: 'nobody' },
            { value: 'own-only', label: 'each their own' },
            { value: 'managers', label: 'managers, and each their own' },
          ],
        },
      },
    ],
  },
]

export const INSTRUMENT_WORDS: Record<InstrumentKind, string> = {
  'torque-wrench': 'Torque wrench',
  'pressure-gauge': 'Pressure gauge',
  'vacuum-gauge': 'Vacuum gauge',
  thermometer: 'Thermometer',
  scale: 'Scale',
  'leak-detector': 'Leak detector',
  'flaring-tool': 'Flaring tool',
  'press-tool': 'Press tool',
  'tube-cutter': 'Tube cutter',
  'deburring-tool': 'Deburring tool',
}

export const PHOTO_WORDS: Record<EvidencePhoto, string> = {
  'gauge-at-start': 'gauge at the start of the hold',
  'gauge-at-end': 'gauge at the end of the hold',
  'vacuum-at-isolation': 'vacuum gauge at isolation',
  'vacuum-at-end': 'vacuum gauge at the end',
  'unit-plates': 'plates of the units',
  'indoor-joints': 'indoor joints before they are insulated',
}

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
  if (ask.kind === 'yes-no') return value === true ? 'yes' : 'no'
  if (ask.kind === 'choice') return ask.options.find((one) => one.value === value)?.label ?? 'not set'
  if (ask.kind === 'number') return formatNumber(Number(value))
  const figure = Number(inUnit(ask.quantity, value as Sent, ask.units[0]).toPrecision(4))
  return `${formatNumber(figure)}\u00a0${UNIT_LABELS[ask.units[0]]}`
}
