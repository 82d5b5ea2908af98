// Did everyone who worked on an opened circuit hold a credential that day, or work under somebody who did?

import { say } from '../words/say.ts'
import { jobSubject, met, notApplicable, open } from './answers.ts'
import { inOrder } from './chronology.ts'
import type { CrewPerson, Dossier, Provenance } from './dossier.ts'
import type { Answer, Requirement, Subject } from './finding.ts'
import { leakChecksOf, scopeOf } from './scope.ts'
import { day, list } from './wording.ts'

interface Deed extends Provenance {
  id: string
}

/** Everything recorded on this job for systems whose circuit was opened. */
function deedsOf(dossier: Dossier, opened: ReadonlySet<string>): Deed[] {
  const { id } = dossier.job
  const facts = dossier.systems
    .filter((system) => opened.has(system.id))
    .flatMap((system) => [
      ...system.joints.flatMap((joint) => [
        ...joint.makes,
        ...joint.makes.flatMap((make) => make.steps),
        ...leakChecksOf(joint),
      ]),
      ...system.pressureTests,
      ...system.evacuations,
      ...system.charges,
      ...system.runningChecks,
    ])
    .filter((fact) => fact.jobId === id)
  return inOrder(facts)
}

function heldCredential(person: CrewPerson | undefined, at: number, schemes: readonly string[]): boolean {
  return (person?.credentials ?? []).some(
    ({ scheme, validUntil }) => schemes.includes(scheme) && (validUntil === null || validUntil >= at),
  )
}

function ask(dossier: Dossier, personId: string, deeds: Deed[]): Answer {
  const { handlerSchemes } = dossier.policy
  const find = (id: string | null) => dossier.crew.find((person) => person.id === id)
  const person = find(personId)
  const subject: Subject = { kind: 'person', id: personId, name: person?.name ?? 'an unknown person' }
  const bare = deeds.find(
    (deed) =>
      !heldCredential(person, deed.performedAt, handlerSchemes) &&
      !heldCredential(find(deed.supervisedBy), deed.performedAt, handlerSchemes),
  )
  const asked = list(handlerSchemes)
  if (bare) {
    return open(subject, {
      reason: say.rules.onNoCredentialOf(day(bare.performedAt), asked),
      next: say.rules.enterTheCredentialWith,
      evidence: [bare.id],
      concedable: false,
    })
  }
  const alone = deeds.every((deed) => heldCredential(person, deed.performedAt, handlerSchemes))
  return met(subject, {
    reason: alone ? say.rules.heldACredentialOf(asked) : say.rules.heldACredentialOfOr(asked),
    evidence: deeds.map(({ id }) => id),
    decisionRule: null,
  })
}

export const handlerQualified: Requirement = {
  code: 'handler-qualified',
  get title() {
    return say.rules.everyoneWhoHandledThe
  },
  get source() {
    return say.rules.theCompanysPolicyBy
  },
  check(dossier) {
    const none = (reason: string) => [notApplicable(jobSubject(dossier), reason)]
    if (dossier.policy.handlerSchemes.length === 0) return none(say.rules.thePolicyNamesNo)
    const { openedCircuits } = scopeOf(dossier)
    if (openedCircuits.size === 0) return none(say.rules.noCircuitWasOpened)
    const byPerson = new Map<string, Deed[]>()
    for (const deed of deedsOf(dossier, openedCircuits)) {
      byPerson.set(deed.performedBy, [...(byPerson.get(deed.performedBy) ?? []), deed])
    }
    if (byPerson.size === 0) return none(say.rules.nothingIsRecordedOn)
    return [...byPerson].map(([personId, deeds]) => ask(dossier, personId, deeds))
  },
}
