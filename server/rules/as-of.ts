// What was known of a job at an earlier moment? The same dossier without whatever was entered later.

import type { Dossier, System } from './dossier.ts'

/**
 * By when things were entered, not by when they were done. What a correction replaced is not in a dossier, so it stands as it
 * was corrected; joints that were left out, photos, lines and rooms are as they are now.
 */
export function dossierAsOf(dossier: Dossier, at: number): Dossier {
  const known = (fact: { recordedAt: number }) => fact.recordedAt <= at
  const decided = (one: { at: number }) => one.at <= at
  const system = (whole: System): System => ({
    ...whole,
    joints: whole.joints.map((joint) => ({
      ...joint,
      makes: joint.makes.filter(known).map((make) => ({ ...make, steps: make.steps.filter(known) })),
      leakChecks: joint.leakChecks.filter(known),
    })),
    pressureTests: whole.pressureTests.filter(known).map((test) => ({
      ...test,
      readings: test.readings.filter(decided),
      ...(isOpenAt(test, at) ? { concludedAt: null, verdict: null } : {}),
    })),
    evacuations: whole.evacuations.filter(known).map((test) => ({
      ...test,
      readings: test.readings.filter(decided),
      ...(isOpenAt(test, at) ? { concludedAt: null, verdict: null } : {}),
    })),
    charges: whole.charges.filter(known),
    runningChecks: whole.runningChecks.filter(known),
  })
  return {
    ...dossier,
    at,
    systems: dossier.systems.map(system),
    requests: dossier.requests.filter(decided),
    concessions: dossier.concessions.filter(decided),
  }
}

const isOpenAt = ({ concludedAt }: { concludedAt: number | null }, at: number): boolean =>
  concludedAt !== null && concludedAt > at
