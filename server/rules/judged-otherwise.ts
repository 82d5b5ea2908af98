// What would other criteria have said of the same facts?

import type { Outcome, RequirementCode } from '../vocabulary.ts'
import type { Dossier } from './dossier.ts'
import { type Finding, isReleased, type Subject } from './finding.ts'
import { evaluate } from './index.ts'
import type { Policy } from './policy.ts'

export interface JudgedOtherwise {
  requirement: RequirementCode
  title: string
  subject: Subject
  before: Outcome
  after: Outcome
  /** `held`: the work would have waited for it; `released`: it would not any more; `other`: neither. */
  turns: 'held' | 'released' | 'other'
  reasonBefore: string
  reasonAfter: string
}

export interface JobJudgedOtherwise {
  /** Whether anything holds the job, by the criteria of the dossier and by the others. */
  heldBefore: boolean
  heldAfter: boolean
  changes: JudgedOtherwise[]
}

/** The dossier judged by its own criteria and by others; both times by all that is known today. */
export function judgedOtherwise(dossier: Dossier, criteria: Policy): JobJudgedOtherwise {
  const before = evaluate(dossier)
  const after = evaluate({ ...dossier, policy: criteria })
  const known = new Map(before.map((finding) => [keyOf(finding), finding]))
  const changes = after.flatMap((finding) => {
    const was = known.get(keyOf(finding))
    if (!was || was.outcome === finding.outcome) return []
    const { requirement, title, subject } = finding
    return {
      requirement,
      title,
      subject,
      before: was.outcome,
      after: finding.outcome,
      turns: turnsOf(was, finding),
      reasonBefore: was.reason,
      reasonAfter: finding.reason,
    }
  })
  const isHeld = (findings: readonly Finding[]) => findings.some((finding) => !isReleased(finding))
  return { heldBefore: isHeld(before), heldAfter: isHeld(after), changes }
}

const keyOf = ({ requirement, subject }: Finding) => `${requirement} ${subject.id}`

function turnsOf(before: Finding, after: Finding): JudgedOtherwise['turns'] {
  if (isReleased(before) === isReleased(after)) return 'other'
  return isReleased(after) ? 'released' : 'held'
}
