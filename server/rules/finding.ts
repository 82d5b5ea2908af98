// What does a hold point answer, and what is a requirement made of?

import type { DecisionRule, Outcome, RequirementCode, SubjectKind } from '../vocabulary.ts'
import type { Dossier } from './dossier.ts'

export interface Subject {
  kind: SubjectKind
  id: string
  /** How it is called on screen: a tag, a line set's name, a person's name. */
  name: string
}

/** A number something was judged by, SI, with the unit it is in and where the limit comes from. */
export interface JudgedNumber {
  name: string
  value: number | null
  unit: string
  low?: number | undefined
  high?: number | undefined
  uncertainty?: number | undefined
  source?: string | undefined
}

export interface Finding {
  requirement: RequirementCode
  title: string
  source: string
  subject: Subject
  outcome: Outcome
  decisionRule: DecisionRule | null
  numbers: JudgedNumber[]
  /** Ids of the facts this rests on. */
  evidence: string[]
  /** Why the outcome is what it is, in a sentence or two. */
  reason: string
  /** What to do next, one sentence; null when nothing is left to do. */
  nextAction: string | null
  /** Whether a manager may release it although it does not meet. */
  concedable: boolean
}

/** What a release does not wait for any more. */
export const isReleased = ({ outcome }: Pick<Finding, 'outcome'>): boolean =>
  outcome === 'met' || outcome === 'conceded' || outcome === 'not-applicable'

/** What a requirement itself says of one subject; concessions are applied afterwards, in one place. */
export type Answer = Omit<Finding, 'requirement' | 'title' | 'source'>

export interface Requirement {
  code: RequirementCode
  /** A claim that reads true when met; also the first line of its page in docs/requirements. */
  title: string
  source: string
  check(dossier: Dossier): Answer[]
}
