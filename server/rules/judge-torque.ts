// Did this nut get a torque in its range? One judgement for the technician's answer and for the hold point.

import { judgeTorque, recommendedSetting } from '../trade/torque.ts'
import { findBuiltInRange, torqueFamilies } from '../trade/torque-ranges.ts'
import { sameTubeSize } from '../trade/tube.ts'
import type { DecisionRule, TorqueVerdict } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import type { EquipmentSheet, Instrument, Joint, TorqueBody } from './dossier.ts'
import type { Policy } from './policy.ts'
import { newtonMetres, sheetSource, span, tubeName } from './wording.ts'

/** What a reading is judged by besides itself. */
export interface Judging {
  policy: Policy
  sheet: EquipmentSheet | null
  instruments: readonly Instrument[]
}

export interface TorqueRange {
  lowNm: number
  highNm: number
  source: string
}

export interface TorqueJudgement {
  verdict: TorqueVerdict
  /** At the nut; null when nothing was measured. */
  appliedNm: number | null
  /** Half-width within which the true torque lies. */
  uncertaintyNm: number | null
  /** Where the uncertainty comes from. */
  accuracySource: string | null
  /** Null when neither the sheet nor the policy's family has a range for this joint. */
  range: TorqueRange | null
  /** What the decision rule accepts at the nut. */
  acceptance: { lowNm: number; highNm: number } | null
  probabilityInRange: number | null
  decisionRule: DecisionRule
  /** What to set on this wrench with this adapter. */
  recommendedSettingNm: number | null
  /** The verdict in a sentence. */
  reason: string
}

/**
 * What a wrench without a stated accuracy is taken to have: ±4 %, setting tools above 10 N·m
 * (ISO 6789:2003 by a wrench maker's summary; carry-over into 2017 from memory).
 */
const ASSUMED_ACCURACY_PERCENT = 4

/** Nearer to a limit than this part of the range, a wrench's own error may put a torque outside (ours, no source). */
const NEAR_EDGE = 0.15

/** How far from an edge of the range a torque is still near it, N·m. */
export const nearEdge = ({ lowNm, highNm }: Pick<TorqueRange, 'lowNm' | 'highNm'>): number =>
  NEAR_EDGE * (highNm - lowNm)

/** The range that the equipment sheet states for a tube size; null when it states none. */
export function sheetTorqueRange(
  joint: Pick<Joint, 'tubeOdM'>,
  sheet: EquipmentSheet | null,
): TorqueRange | null {
  const row = sheet?.torqueNm.find((candidate) => sameTubeSize(candidate.tubeOdM, joint.tubeOdM))
  return sheet && row ? { lowNm: row.lowNm, highNm: row.highNm, source: sheetSource(sheet) } : null
}

/** The range for a joint: the equipment sheet first; for flares without one, the family that the policy names. */
export function torqueRangeOf(
  joint: Pick<Joint, 'kind' | 'tubeOdM'>,
  sheet: EquipmentSheet | null,
  policy: Policy,
): TorqueRange | null {
  const stated = sheetTorqueRange(joint, sheet)
  // The families are printed for flare nuts: a coupling or a compression nut needs its maker's own figure.
  if (stated || joint.kind !== 'flare') return stated
  if (policy.torqueFamily === 'en-378-2') {
    const row = policy.torqueSet?.ranges.find((one) => sameTubeSize(one.tubeOdM, joint.tubeOdM))
    const source = say.rules.asYourCompanyEntered(torqueFamilies()['en-378-2'].name, policy.torqueSet?.source)
    return row ? { lowNm: row.lowNm, highNm: row.highNm, source } : null
  }
  const builtIn = findBuiltInRange(policy.torqueFamily, joint.tubeOdM)
  return builtIn && { lowNm: builtIn.lowNm, highNm: builtIn.highNm, source: say.rules.builtIn(builtIn.name) }
}

function accuracyOf(wrench: Instrument | undefined, readingNm: number): { percent: number; source: string } {
  if (wrench?.accuracyPercent != null) return { percent: wrench.accuracyPercent, source: `${wrench.name}` }
  if (wrench?.accuracyAbsolute != null && readingNm > 0) {
    return { percent: (wrench.accuracyAbsolute / readingNm) * 100, source: wrench.name }
  }
  return { percent: ASSUMED_ACCURACY_PERCENT, source: say.rules.assumedIso6789From }
}

export function judgeTorqueStep(
  joint: Pick<Joint, 'kind' | 'tubeOdM'>,
  body: Omit<TorqueBody, 'witnessMark' | 'circuitState'>,
  { policy, sheet, instruments }: Judging,
): TorqueJudgement {
  const range = torqueRangeOf(joint, sheet, policy)
  const adapter = body.adapter ?? undefined
  const judgement: TorqueJudgement = {
    verdict: 'not-proven',
    appliedNm: null,
    uncertaintyNm: null,
    accuracySource: null,
    range,
    acceptance: range && { lowNm: range.lowNm, highNm: range.highNm },
    probabilityInRange: null,
    decisionRule: policy.decisionRule,
    recommendedSettingNm: null,
    reason: '',
  }
  const size = tubeName(joint.tubeOdM)
  try {
    const wrench = instruments.find((instrument) => instrument.id === body.instrumentId)
    const accuracy = accuracyOf(wrench, body.readingNm ?? 0)
    if (range) {
      const setting = recommendedSetting({
        rangeLowNm: range.lowNm,
        rangeHighNm: range.highNm,
        accuracyPercent: accuracy.percent,
        decisionRule: policy.decisionRule,
        adapter,
      })
      judgement.recommendedSettingNm = setting.settingNm
    }
    const measured = body.indication === 'set-and-clicked' || body.indication === 'read'
    if (!measured || body.readingNm === null) {
      const how =
        body.indication === 'angle-by-manual' ? say.rules.wasTurnedByAngle : say.rules.wasNotMeasured
      return { ...judgement, verdict: 'not-measured', reason: say.rules.theTorque2(how) }
    }
    const judged = judgeTorque({
      readingNm: body.readingNm,
      indication: body.indication === 'read' ? 'read' : 'set-and-clicked',
      // Without a range the torque at the nut is still worth knowing; the verdict is set below.
      rangeLowNm: range?.lowNm ?? 0,
      rangeHighNm: range?.highNm ?? Number.MAX_VALUE,
      accuracyPercent: accuracy.percent,
      adapter,
      decisionRule: policy.decisionRule,
    })
    judgement.appliedNm = judged.appliedNm
    judgement.uncertaintyNm = judged.uncertaintyNm
    judgement.accuracySource = accuracy.source
    if (!range) {
      return {
        ...judgement,
        reason: say.rules.thereIsNoTorque(size),
      }
    }
    const applied = newtonMetres(judged.appliedNm)
    const wanted = say.rules.forWord(span(range.lowNm, range.highNm, 'N.m'), size)
    const reasons: Record<typeof judged.verdict, string> = {
      'in-range': say.rules.isWithin(applied, wanted),
      low: say.rules.isBelow(applied, wanted),
      high: say.rules.isAbove(applied, wanted),
      'not-proven': say.rules.isWithinButNot(applied, wanted, newtonMetres(judged.uncertaintyNm)),
    }
    return {
      ...judgement,
      acceptance: judged.acceptance,
      probabilityInRange: judged.probabilityInRange,
      verdict: judged.verdict,
      reason: reasons[judged.verdict],
    }
  } catch (problem) {
    // Outside what the arithmetic is valid for: recorded all the same, and proven by nothing.
    const because = problem instanceof Error ? problem.message : String(problem)
    return { ...judgement, reason: say.rules.theTorqueCantBe(because) }
  }
}
