// In what words does a reason of the audit list stand on a page, and how in an answer?

import { countedReason } from '../../views/audit/words.ts'
import { flareMethodWords } from '../../views/joints/step-words.ts'
import type { AuditRisk, RiskReason } from '../rules/audit-risk.ts'
import { tubeName } from '../rules/wording.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { placeWords } from './strip-of.ts'

type Group = NonNullable<AuditRisk['group']>

/** "leaks": two figures are enough for an order. */
export const riskFigure = (score: number): string => (score < 0.005 ? '0' : score.toFixed(2))

export interface ShownReason {
  code: RiskReason['code']
  words: string
  adds: string
}

export function shownReasons(risk: AuditRisk, instruments: ReadonlyMap<string, string>): ShownReason[] {
  return risk.reasons.map((reason) => ({
    code: reason.code,
    adds: riskFigure(reason.adds),
    words:
      reason.code === 'expected-leaks'
        ? expectedWords(reason, risk.group, instruments)
        : `${countedReason(reason.code, reason.count)}${reason.tags.length === 0 ? '' : ` (${tagsWords(reason.tags)})`}`,
  }))
}

const MOST_TAGS = 4
const tagsWords = (tags: readonly string[]) =>
  tags.length <= MOST_TAGS
    ? tags.join(', ')
    : say.auditReasons.andMore(tags.slice(0, MOST_TAGS).join(', '), tags.length - MOST_TAGS)

function expectedWords(
  reason: RiskReason,
  group: Group | null,
  instruments: ReadonlyMap<string, string>,
): string {
  const joints = reason.count === 1 ? say.auditReasons.oneJoint : say.auditReasons.joints(reason.count)
  if (group === null) return say.auditReasons.madeByWhatLeaked(joints)
  return say.auditReasons.madeWhichLeakTimes(
    joints,
    group.joints,
    groupWords(group, instruments),
    group.ratio.toFixed(1),
  )
}

function groupWords({ dimension, key }: Group, instruments: ReadonlyMap<string, string>): string {
  switch (dimension) {
    case 'position':
      return say.auditReasons.atTheOfThe(
        placeWords({ place: key.slice(0, key.lastIndexOf('/')) }),
        coded(key.slice(key.lastIndexOf('/') + 1)),
      )
    case 'tubeOd':
      return say.auditReasons.ofWord(tubeName(Number(key)))
    case 'flareMethod':
      return say.auditReasons.flaredBy(
        (flareMethodWords()[key as keyof ReturnType<typeof flareMethodWords>] ?? key).toLowerCase(),
      )
    case 'flaringTool':
      return say.auditReasons.flaredWith(instruments.get(key) ?? say.auditReasons.oneTool)
    case 'wrench':
      return say.auditReasons.tightenedWith(instruments.get(key) ?? say.auditReasons.oneWrench)
    case 'model':
      return say.auditReasons.on(key)
  }
}

export const riskJson = (risk: AuditRisk, instruments: ReadonlyMap<string, string>) => ({
  score: risk.score,
  group: risk.group && {
    dimension: risk.group.dimension,
    key: risk.group.key,
    ratio: risk.group.ratio,
    joints: risk.group.joints,
  },
  reasons: risk.reasons.map((reason, index) => ({
    code: reason.code,
    adds: reason.adds,
    count: reason.count,
    joints: reason.tags,
    words: shownReasons(risk, instruments)[index]?.words ?? '',
  })),
})
