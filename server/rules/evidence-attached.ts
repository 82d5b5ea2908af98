// Are the photos attached that the company's policy asks for?

import { say } from '../words/say.ts'
import { jobSubject, met, notApplicable, open, systemSubject } from './answers.ts'
import type { Dossier, Photo, System } from './dossier.ts'
import type { Answer, Requirement } from './finding.ts'
import type { EvidencePhoto } from './policy.ts'
import { isPort, type Scope, scopeOf } from './scope.ts'
import { list } from './wording.ts'

const thePhotoWords = (): Record<EvidencePhoto, string> => ({
  'gauge-at-start': say.rules.theGaugeAtThe,
  'gauge-at-end': say.rules.theGaugeAtTheEnd,
  'vacuum-at-isolation': say.rules.theVacuumGaugeWhen,
  'vacuum-at-end': say.rules.theVacuumGaugeAt,
  'unit-plates': say.rules.thePlatesOfThe,
  'indoor-joints': say.rules.theIndoorJointsBefore,
})

/** Whether what a photo would show took place at this system on this job. */
export function isAsked(photo: EvidencePhoto, dossier: Dossier, system: System, scope: Scope): boolean {
  const here = (facts: readonly { jobId: string }[]) => facts.some((fact) => fact.jobId === dossier.job.id)
  switch (photo) {
    case 'gauge-at-start':
    case 'gauge-at-end':
      return here(system.pressureTests)
    case 'vacuum-at-isolation':
    case 'vacuum-at-end':
      return here(system.evacuations)
    case 'unit-plates':
      return system.units.some((unit) => unit.installedAt >= dossier.job.openedAt)
    case 'indoor-joints':
      return scope.joints.some(
        ({ system: of, joint, workedOnHere }) =>
          of.id === system.id && joint.indoors && !isPort(joint) && workedOnHere,
      )
  }
}

/** Ids of everything that belongs to a system, so that a photo of a part counts for the whole. */
function partsOf(system: System): Set<string> {
  return new Set([
    system.id,
    ...[system.units, system.lineSets, system.joints, system.pressureTests, system.evacuations].flatMap(
      (parts) => parts.map(({ id }) => id),
    ),
  ])
}

function ask(dossier: Dossier, system: System, scope: Scope, photos: readonly Photo[]): Answer {
  const subject = systemSubject(system)
  const asked = dossier.policy.evidence.photos.filter((photo) => isAsked(photo, dossier, system, scope))
  if (asked.length === 0) return notApplicable(subject, say.rules.nothingThatThePolicy)
  const parts = partsOf(system)
  const mine = photos.filter(({ subjectId, subjectKind }) => parts.has(subjectId) || subjectKind === 'job')
  const missing = asked.filter((photo) => !mine.some(({ shows }) => shows === photo))
  const evidence = mine.filter(({ shows }) => shows !== null).map(({ id }) => id)
  if (missing.length === 0) {
    return met(subject, {
      reason: say.rules.everyPhotoThatThe,
      evidence,
      decisionRule: null,
    })
  }
  const words = list(missing.map((photo) => thePhotoWords()[photo]))
  return open(subject, {
    reason: say.rules.missing(words),
    next: say.rules.addAPhotoOf(words),
    evidence,
    concedable: true,
  })
}

export const evidenceAttached: Requirement = {
  code: 'evidence-attached',
  get title() {
    return say.rules.thePhotosThatThe
  },
  get source() {
    return say.rules.theCompanysPolicyBuilt
  },
  check(dossier) {
    if (dossier.policy.evidence.photos.length === 0) {
      return [notApplicable(jobSubject(dossier), say.rules.thePolicyAsksFor)]
    }
    const scope = scopeOf(dossier)
    return dossier.systems.map((system) => ask(dossier, system, scope, dossier.photos ?? []))
  },
}
