// Which hold points are there, in the order of the work, and how does a job stand at each of them?

import { say } from '../words/say.ts'
import { jobSubject, notApplicable } from './answers.ts'
import { brazePurged } from './braze-purged.ts'
import { chargeMatches } from './charge-matches.ts'
import type { Concession, Dossier } from './dossier.ts'
import { everyJointMade } from './every-joint-made.ts'
import { evidenceAttached } from './evidence-attached.ts'
import type { Answer, Finding, Requirement } from './finding.ts'
import { flareAccepted } from './flare-accepted.ts'
import { handlerQualified } from './handler-qualified.ts'
import { instrumentsConfirmed } from './instruments-confirmed.ts'
import { jointAssembled } from './joint-assembled.ts'
import { jointLeakChecked } from './joint-leak-checked.ts'
import { jointPrepared } from './joint-prepared.ts'
import { jointTorqueInRange } from './joint-torque-in-range.ts'
import { lineSetWithinLimits } from './line-set-within-limits.ts'
import { orderOfWork } from './order-of-work.ts'
import { portsAndCapsClosed } from './ports-and-caps-closed.ts'
import { pressVerified } from './press-verified.ts'
import { roomLargeEnough } from './room-large-enough.ts'
import { runningAsSpecified } from './running-as-specified.ts'
import { standingPressureHeld } from './standing-pressure-held.ts'
import { vacuumHeld } from './vacuum-held.ts'
import { concessionWords } from './wording.ts'

/** The order of the list is the order of the work, and of every page that shows it. */
export const REQUIREMENTS: readonly Requirement[] = [
  lineSetWithinLimits,
  everyJointMade,
  jointPrepared,
  flareAccepted,
  jointAssembled,
  jointTorqueInRange,
  brazePurged,
  pressVerified,
  jointLeakChecked,
  portsAndCapsClosed,
  standingPressureHeld,
  vacuumHeld,
  chargeMatches,
  roomLargeEnough,
  runningAsSpecified,
  handlerQualified,
  instrumentsConfirmed,
  evidenceAttached,
  orderOfWork,
]

/**
 * One finding per requirement and subject, in the order of the work. Never throws and never stops at the first: a
 * requirement that can't be judged says so and holds the job.
 */
export function evaluate(dossier: Dossier): Finding[] {
  return findingsAlone(dossier).map((finding) => release(finding, dossier))
}

/** The same before anything that was asked for or conceded is looked at. */
export function findingsAlone(dossier: Dossier): Finding[] {
  return REQUIREMENTS.flatMap((requirement) =>
    answersOf(requirement, dossier).map((answer) => ({
      requirement: requirement.code,
      title: requirement.title,
      source: requirement.source,
      ...answer,
    })),
  )
}

function answersOf(requirement: Requirement, dossier: Dossier): Answer[] {
  try {
    const answers = requirement.check(dossier)
    if (answers.length > 0 || dossier.systems.length > 0) return answers
    return [notApplicable(jobSubject(dossier), say.rules.noSystemIsOn)]
  } catch (problem) {
    const because = problem instanceof Error ? problem.message : String(problem)
    return [
      {
        subject: subjectOf(dossier),
        outcome: 'open',
        decisionRule: null,
        numbers: [],
        evidence: [],
        reason: say.rules.thisCantBeJudged(because),
        nextAction: say.rules.lookAtWhatWas,
        concedable: false,
      },
    ]
  }
}

function subjectOf(dossier: Dossier): Answer['subject'] {
  try {
    return jobSubject(dossier)
  } catch {
    return { kind: 'job', id: '', name: 'this job' }
  }
}

/** The only place where requests and concessions change an outcome. What allows none can't be released by any. */
export function release(finding: Finding, dossier: Dossier): Finding {
  const unmet = finding.outcome === 'open' || finding.outcome === 'failed'
  if (!unmet || !finding.concedable) return finding
  const mine = (candidate: Concession) =>
    candidate.requirement === finding.requirement && candidate.subjectId === finding.subject.id
  const given = listed(dossier.concessions).filter(mine)
  const concession =
    given.length > 0 ? given.findLast(({ at }) => at >= latestEvidence(finding, dossier)) : undefined
  if (concession) {
    return {
      ...finding,
      outcome: 'conceded',
      nextAction: null,
      reason: say.rules.releasedByConcession(finding.reason, concessionWords(concession)),
    }
  }
  const request = listed(dossier.requests).findLast(mine)
  if (!request) return finding
  return {
    ...finding,
    outcome: 'requested',
    nextAction: say.rules.aManagerDecides,
    reason: say.rules.aConcessionIsAsked(finding.reason, request.reason),
  }
}

/** When the last of what a finding rests on was recorded: a concession speaks for what was known when it was given. */
function latestEvidence(finding: Finding, dossier: Dossier): number {
  const rests = new Set(finding.evidence)
  let latest = Number.NEGATIVE_INFINITY
  const knownAt = (at: number | undefined) => {
    latest = Math.max(latest, at ?? Number.NEGATIVE_INFINITY)
  }
  const look = (facts: readonly { id: string; recordedAt: number }[]) => {
    for (const fact of facts) if (rests.has(fact.id)) knownAt(fact.recordedAt)
  }
  try {
    for (const instrument of dossier.instruments)
      if (instrument.id === finding.subject.id)
        for (const calibration of instrument.calibrations) knownAt(calibration.recordedAt)
    for (const system of dossier.systems) {
      for (const line of system.lineSets) if (rests.has(line.id)) knownAt(line.changedAt)
      for (const test of [...system.pressureTests, ...system.evacuations])
        if (rests.has(test.id)) for (const reading of test.readings) knownAt(reading.correctedAt)
      look(system.pressureTests)
      look(system.evacuations)
      look(system.charges)
      look(system.runningChecks)
      for (const joint of system.joints) {
        look(joint.makes)
        look(joint.leakChecks)
        for (const make of joint.makes) look(make.steps)
      }
    }
  } catch {
    // A record that can't be read vouches for nothing.
    return Number.POSITIVE_INFINITY
  }
  return latest
}

/** A record that lost its list of decisions releases nothing, and is still judged. */
function listed(decisions: Concession[]): Concession[] {
  return Array.isArray(decisions) ? decisions.filter((decision) => decision != null) : []
}

/** Whether a job may be signed off: nothing is open, failed or still asked for. */
export function isSignable(findings: readonly Finding[]): boolean {
  return (
    findings.length > 0 &&
    findings.every(({ outcome }) => ['met', 'conceded', 'not-applicable'].includes(outcome))
  )
}

/** Whether a job may be submitted: what is not met is asked for, or already released. */
export function isSubmittable(findings: readonly Finding[]): boolean {
  return findings.length > 0 && findings.every(({ outcome }) => outcome !== 'open' && outcome !== 'failed')
}
