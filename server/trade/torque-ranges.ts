/** Which torque range do the published families print for a flare nut, when the equipment sheet has none? */
import { say } from '../words/say.ts'
import { sameTubeSize } from './tube.ts'
import { requirePositive } from './validity.ts'

/**
 * confirmed: read in print; memory: not checked against the text; practice: common practice, no source;
 * derived: arithmetic from the others.
 */
export type SourceLabel = 'confirmed' | 'memory' | 'practice' | 'derived'

export interface TorqueFamily {
  name: string
  source: string
  label: SourceLabel
  /** False while the figures are from memory only: the company must enter them from its own copy. */
  choosable: boolean
  ranges: readonly { tubeOdM: number; lowNm: number; highNm: number }[]
}

/**
 * Three families for the same nominal tubes. They disagree, and are never averaged or mixed: at 5/8 in, 64 N·m
 * passes two of them and fails the third, 80 N·m passes only the third.
 */
export const torqueFamilies = () =>
  ({
    'jis-b-8607-class-2': {
      name: say.trade.jisClass2Set,
      source: say.trade.jisB86072002,
      label: 'practice',
      choosable: true,
      ranges: [
        { tubeOdM: 0.00635, lowNm: 14, highNm: 18 },
        { tubeOdM: 0.00952, lowNm: 34, highNm: 42 },
        { tubeOdM: 0.0127, lowNm: 49, highNm: 61 },
        { tubeOdM: 0.01588, lowNm: 68, highNm: 82 },
        { tubeOdM: 0.01905, lowNm: 100, highNm: 120 },
      ],
    },
    'kgf-cm-set': {
      name: say.trade.olderKgfCmSet,
      source: say.trade.commonPracticeNoSource,
      label: 'practice',
      choosable: true,
      ranges: [
        { tubeOdM: 0.00635, lowNm: 14.2, highNm: 17.2 },
        { tubeOdM: 0.00952, lowNm: 32.7, highNm: 39.9 },
        { tubeOdM: 0.0127, lowNm: 49.5, highNm: 60.3 },
        { tubeOdM: 0.01588, lowNm: 61.8, highNm: 75.4 },
        { tubeOdM: 0.01905, lowNm: 97.2, highNm: 118.6 },
      ],
    },
    'en-378-2': {
      name: say.trade.en3782FlareTable,
      source: say.trade.en37822008,
      label: 'memory',
      choosable: false,
      ranges: [
        { tubeOdM: 0.006, lowNm: 14, highNm: 18 },
        { tubeOdM: 0.00635, lowNm: 14, highNm: 18 },
        { tubeOdM: 0.00794, lowNm: 33, highNm: 42 },
        { tubeOdM: 0.008, lowNm: 33, highNm: 42 },
        { tubeOdM: 0.00952, lowNm: 33, highNm: 42 },
        { tubeOdM: 0.01, lowNm: 33, highNm: 42 },
        { tubeOdM: 0.012, lowNm: 50, highNm: 62 },
        { tubeOdM: 0.0127, lowNm: 50, highNm: 62 },
        { tubeOdM: 0.015, lowNm: 63, highNm: 77 },
        { tubeOdM: 0.01588, lowNm: 63, highNm: 77 },
        { tubeOdM: 0.018, lowNm: 90, highNm: 110 },
        { tubeOdM: 0.01905, lowNm: 90, highNm: 110 },
      ],
    },
  }) as const satisfies Record<string, TorqueFamily>

export type TorqueFamilyCode = keyof ReturnType<typeof torqueFamilies>
/** The families a policy may name without entering figures of its own. */
export type ChoosableTorqueFamilyCode = {
  [C in TorqueFamilyCode]: ReturnType<typeof torqueFamilies>[C]['choosable'] extends true ? C : never
}[TorqueFamilyCode]

export const CHOOSABLE_TORQUE_FAMILIES = [
  'jis-b-8607-class-2',
  'kgf-cm-set',
] as const satisfies readonly ChoosableTorqueFamilyCode[]

/** The family most widely printed; the built-in policy names it. */
export const BUILT_IN_TORQUE_FAMILY: ChoosableTorqueFamilyCode = 'jis-b-8607-class-2'

export interface BuiltInTorqueRange {
  family: TorqueFamilyCode
  name: string
  lowNm: number
  highNm: number
  source: string
  label: SourceLabel
}

/**
 * The range (N·m) that a family prints for a tube of outer diameter `tubeOdM` (m), with its source; null when the
 * family has no row for that size or can't be chosen (figures from memory). Sizes match within 0.055 mm.
 */
export function findBuiltInRange(family: TorqueFamilyCode, tubeOdM: number): BuiltInTorqueRange | null {
  requirePositive(say.trade.tubeOuterDiameter, tubeOdM, 'm')
  const { name, source, label, choosable, ranges }: TorqueFamily = torqueFamilies()[family]
  if (!choosable) return null
  const row = ranges.find((candidate) => sameTubeSize(candidate.tubeOdM, tubeOdM))
  return row ? { family, name, lowNm: row.lowNm, highNm: row.highNm, source, label } : null
}
