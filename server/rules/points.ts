// Is every point of a list answered, and answered well?

import {
  ASSEMBLY_POINTS,
  CLOSING_POINTS,
  INSPECTION_POINTS,
  type JointKind,
  PREPARATION_POINTS,
  type StepKind,
} from '../vocabulary.ts'
import { say } from '../words/say.ts'
import type { Points } from './dossier.ts'
import { list, pointWords } from './wording.ts'

export interface PointsJudgement {
  outcome: 'all-yes' | 'incomplete' | 'some-no'
  reason: string
}

const said = (code: string) => pointWords()[code] ?? code

/**
 * `mayNotApply`: points for which "not applicable" with a reason is a good answer. Without a reason it never is.
 * "All as listed" answers yes to each point that was not named as an exception.
 */
export function judgePoints(
  points: Points,
  codes: readonly string[],
  mayNotApply: (code: string) => boolean,
): PointsJudgement {
  const no: string[] = []
  const missing: string[] = []
  const without: string[] = []
  for (const code of codes) {
    const answer = points.answers[code] ?? (points.allAsListed ? 'yes' : undefined)
    if (answer === 'yes') continue
    const reason = (points.reasons[code] ?? '').trim()
    if (answer === 'no') no.push(reason ? `${said(code)} (${reason})` : said(code))
    else if (answer === undefined) missing.push(said(code))
    else if (reason === '' || !mayNotApply(code)) without.push(said(code))
  }
  if (no.length > 0) return { outcome: 'some-no', reason: say.rules.answeredNo(list(no)) }
  if (missing.length > 0) return { outcome: 'incomplete', reason: say.rules.notAnswered(list(missing)) }
  if (without.length > 0) {
    return {
      outcome: 'incomplete',
      reason: say.rules.saidNotToApply(list(without)),
    }
  }
  return { outcome: 'all-yes', reason: say.rules.everyPointIsAnswered }
}

const POINTS: Partial<Record<StepKind, readonly string[]>> = {
  preparation: PREPARATION_POINTS,
  inspection: INSPECTION_POINTS,
  assembly: ASSEMBLY_POINTS,
  closing: CLOSING_POINTS,
}

/**
 * The points that a step of such a joint has, so that nobody answers for what isn't there: a brazed or pressed joint has
 * no nut, a pressed one no flare to look at, a valve cap covers a stem and no core.
 */
export function pointsFor(step: StepKind, joint: JointKind): readonly string[] {
  const points = POINTS[step] ?? []
  if (step === 'preparation' && (joint === 'brazed' || joint === 'press'))
    return points.filter((code) => code !== 'nutOn')
  if (step === 'inspection' && joint === 'press') return []
  if (step === 'closing' && joint !== 'service-port') return points.filter((code) => code !== 'coreTight')
  return points
}
