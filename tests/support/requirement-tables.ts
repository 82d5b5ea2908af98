// How is a requirement tested? Three tables: when it is met, when it is not, and when it does not apply.

import { describe, expect, it } from 'vitest'
import type { Answer, Requirement } from '../../server/rules/finding.ts'
import { evaluate } from '../../server/rules/index.ts'
import type { Outcome } from '../../server/vocabulary.ts'
import type { JobBuilder } from './dossiers.ts'

export interface Case {
  /** A sentence: what was done. */
  when: string
  job: () => JobBuilder
  /** The subject asked about, by name; every subject must then exist. Left out: all answers must agree. */
  subject?: string
  reason?: RegExp
}
export interface NotMetCase extends Case {
  outcome: 'open' | 'failed'
  next?: RegExp
  concedable: boolean
}

function answersFor(requirement: Requirement, row: Case): Answer[] {
  const answers = requirement.check(row.job().build())
  const chosen =
    row.subject === undefined ? answers : answers.filter((answer) => answer.subject.name === row.subject)
  expect(chosen, `no answer about ${row.subject ?? 'anything'}`).not.toEqual([])
  return chosen
}

/** What comes of it where somebody asked for a concession and somebody granted it, after all that was recorded. */
function releasedAnyhow(requirement: Requirement, row: Case, { subject }: Answer): Outcome | undefined {
  const dossier = row.job().build()
  const decision = {
    requirement: requirement.code,
    subjectId: subject.id,
    reason: 'It will do.',
    by: 'somebody',
    at: Number.MAX_SAFE_INTEGER,
  }
  return evaluate({ ...dossier, requests: [decision], concessions: [decision] }).find(
    (finding) => finding.requirement === requirement.code && finding.subject.id === subject.id,
  )?.outcome
}

function check(requirement: Requirement, row: Case, outcome: Outcome): Answer[] {
  const answers = answersFor(requirement, row)
  for (const answer of answers) {
    expect(`${answer.subject.name}: ${answer.outcome} (${answer.reason})`).toBe(
      `${answer.subject.name}: ${outcome} (${answer.reason})`,
    )
    expect(answer.reason).toMatch(row.reason ?? /./)
  }
  return answers
}

export function testRequirement(
  requirement: Requirement,
  tables: { met: Case[]; notMet: NotMetCase[]; notApplicable: Case[] },
): void {
  describe(`${requirement.code} is met`, () => {
    it.each(tables.met)('when $when', (row) => {
      for (const answer of check(requirement, row, 'met')) {
        expect(answer.nextAction).toBeNull()
        expect(answer.concedable).toBe(false)
      }
    })
  })
  describe(`${requirement.code} is not met`, () => {
    it.each(tables.notMet)('when $when', (row) => {
      for (const answer of check(requirement, row, row.outcome)) {
        expect(answer.nextAction).toMatch(row.next ?? /\w/)
        expect(`${answer.subject.name}: concedable ${answer.concedable}`).toBe(
          `${answer.subject.name}: concedable ${row.concedable}`,
        )
        if (!row.concedable) expect(releasedAnyhow(requirement, row, answer)).toBe(row.outcome)
      }
    })
  })
  describe(`${requirement.code} does not apply`, () => {
    it.each(tables.notApplicable)('when $when', (row) => {
      for (const answer of check(requirement, row, 'not-applicable')) {
        expect(answer.nextAction).toBeNull()
        expect(answer.decisionRule).toBeNull()
      }
    })
  })
}
