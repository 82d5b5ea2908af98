// A joint: where it sits, what was recorded of each making, what comes next, and its history.

import type { Joint, Step, System } from '../rules/dossier.ts'
import { type Judging, judgeTorqueStep } from '../rules/judge-torque.ts'
import { currentMake, nextStep, stepsFor } from '../rules/scope.ts'
import { liesIn, staleForJoint } from '../rules/staleness.ts'
import type { RecordedStep } from '../store/queries/joints.ts'
import { findPolicy } from '../store/queries/policy.ts'
import type { TorqueUnit } from '../trade/units.ts'
import { say } from '../words/say.ts'
import { callbackJson } from './callbacks.ts'
import { endingsOf } from './endings.ts'
import { entryJson, jointHistoryPage, seenByJson, summaryJson, tellJoint } from './joint-history.ts'
import { jointPage } from './joint-page.ts'
import { instant, instantOrNull, quantityJson, whoJson } from './json.ts'
import { photoJson } from './photo-slots.ts'
import type { Ask, Resource } from './resource.ts'
import { lookAt, type SeenJoint } from './seen-joint.ts'
import { makeJson, stepJson, torqueJson } from './step-json.ts'

export function jointsResource(resource: Resource): void {
  resource.read({
    path: '/joints/:jointId',
    name: 'read-joint',
    summary: 'A joint with its makes, steps and what comes next.',
    load: (ask) => lookAt(ask, ask.params.jointId ?? ''),
    json: jointJson,
    page: (seen, ask) => jointPage(ask, seen),
  })

  resource.read({
    path: '/joints/:jointId/history',
    name: 'read-joint-history',
    summary:
      'Everything that is known of a joint: makes, steps, tests that covered it as they ended and as they are judged today, photos, callbacks, entries.',
    load: (ask) => tellJoint(ask, ask.params.jointId ?? ''),
    json: async (told, ask) => {
      const { seen, history, corrections, entries, photos, callbacks } = told
      return {
        ...jointJson(seen),
        ...summaryJson(told),
        tests: (await testsOf(seen, ask)).map((test) => ({ ...test, ...seenByJson(history, test.id) })),
        callbacks: callbacks
          .filter(({ findings }) => findings.some(({ jointId }) => jointId === seen.joint.id))
          .map(callbackJson),
        photos: photos.map(photoJson),
        corrections: corrections.map(({ original, replacement, ...correction }) => ({
          id: correction.id,
          state: correction.state,
          reason: correction.reason,
          requestedBy: correction.requestedBy,
          requestedAt: instant(correction.requestedAt),
          decidedBy: correction.decidedBy,
          decidedAt: instantOrNull(correction.decidedAt),
          decisionReason: correction.decisionReason,
          original: judgedStepJson(original, seen.joint, seen.judging),
          replacement: judgedStepJson(replacement, seen.joint, seen.judging),
        })),
        entries: entries.map(entryJson),
      }
    },
    page: jointHistoryPage,
  })
}
function jointJson({ row, joint, judging }: SeenJoint) {
  const make = currentMake(joint)
  return {
    id: joint.id,
    systemId: row.systemId,
    tag: joint.tag,
    lineSetId: joint.lineSetId,
    unitId: joint.unitId,
    place: joint.place,
    line: joint.line,
    indoors: joint.indoors,
    tubeOd: row.typed?.tubeOd ?? quantityJson('length', joint.tubeOdM, 'mm'),
    kind: joint.kind,
    origin: joint.origin,
    retiredAt: instantOrNull(joint.retiredAt),
    steps: stepsFor(joint, judging.sheet, make),
    makes: joint.makes.map((one) => ({
      ...makeJson(one),
      current: one.id === make?.id,
      steps: one.steps.map((step) => judgedStepJson(step, joint, judging)),
    })),
    leakChecks: joint.leakChecks
      .filter((check) => check.makeId === null)
      .map((check) => stepJson(recorded(check))),
    next: make ? nextStep(joint, make, judging) : { step: null, reason: say.joints.noMakingWasStarted },
  }
}

const recorded = (step: Step) => step as RecordedStep

function judgedStepJson(step: Step, joint: Joint, judging: Judging) {
  const unit = (recorded(step).typed.reading?.unit ?? 'N.m') as TorqueUnit
  return {
    ...stepJson(recorded(step)),
    ...(step.kind === 'torque' ? torqueJson(judgeTorqueStep(joint, step.body, judging), unit) : {}),
  }
}

/** The tests that covered this joint, with why one no longer speaks for it. */
async function testsOf({ system, joint }: SeenJoint, { scope }: Ask) {
  const endings = await endingsOf(scope, { system, policy: await findPolicy(scope) }, [
    ...system.pressureTests,
    ...system.evacuations,
  ])
  const told =
    (kind: 'pressure-test' | 'evacuation') =>
    (test: System['pressureTests'][number] | System['evacuations'][number]) => ({
      id: test.id,
      kind,
      jobId: test.jobId,
      verdict: test.verdict,
      verdictToday: endings.get(test.id)?.verdictToday ?? null,
      stale: staleForJoint(test, joint, system)?.reason ?? null,
      ...whoJson(test),
      concludedAt: instantOrNull(test.concludedAt),
    })
  const covering = <Test extends { covers: { kind: string; id: string }[] }>(tests: Test[]) =>
    tests.filter((test) => liesIn(test as never, joint))
  return [
    ...covering(system.pressureTests).map(told('pressure-test')),
    ...covering(system.evacuations).map(told('evacuation')),
  ]
}
