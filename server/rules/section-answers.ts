// Which opened sections does a requirement ask for their pressure test and evacuation, and which are spared?

import { say } from '../words/say.ts'
import { jobSubject, notApplicable, sectionSubject } from './answers.ts'
import type { Dossier, Evacuation, PressureTest } from './dossier.ts'
import type { Answer } from './finding.ts'
import { judgeEvacuationTest, vacuumCriteria } from './judge-evacuation.ts'
import { judgePressureTest } from './judge-pressure-test.ts'
import { isPort, type Scope, type ScopedSection, scopeOf } from './scope.ts'
import { type SectionState, sectionState, type Weighed } from './staleness.ts'

/** A line that comes charged and closes itself is never open to the air. */
export function isChargedCoupling(section: ScopedSection): boolean {
  const joints = section.joints.filter((joint) => !isPort(joint))
  return (
    section.jointKind === 'quick-coupling' &&
    section.retired.length === 0 &&
    joints.every((joint) => joint.kind === 'quick-coupling')
  )
}

/** Joints of a section that this job leaves out. */
function leftOutOf(section: ScopedSection, scope: Scope): Set<string> {
  return new Set(
    scope.joints
      .filter((scoped) => scoped.leftOut !== null && scoped.section.id === section.id)
      .map((scoped) => scoped.joint.id),
  )
}

export function weighPressure(dossier: Dossier, section: ScopedSection): (test: PressureTest) => Weighed {
  const known = new Map<string, Weighed>()
  return (test) => {
    const held = known.get(test.id)
    if (held) return held
    const { verdict, holdS, overLimit } = judgePressureTest(test, section.system, dossier)
    const weighed: Weighed = {
      // Parts taken above their limit have to be looked at, however well a later test holds.
      result:
        overLimit !== 'no'
          ? 'fail'
          : verdict === 'holds'
            ? 'pass'
            : verdict === 'falls'
              ? 'fail'
              : verdict === 'void'
                ? 'void'
                : 'undecided',
      holdS,
      onlyCause: overLimit !== 'no',
    }
    known.set(test.id, weighed)
    return weighed
  }
}

export function weighEvacuation(dossier: Dossier, section: ScopedSection): (test: Evacuation) => Weighed {
  const known = new Map<string, Weighed>()
  return (test) => {
    const held = known.get(test.id)
    if (held) return held
    const { verdict, holdS } = judgeEvacuationTest(test, section.system, dossier)
    const weighed: Weighed = {
      result: verdict === 'tight' ? 'pass' : verdict === 'cannot-tell' ? 'undecided' : 'fail',
      holdS,
    }
    known.set(test.id, weighed)
    return weighed
  }
}

/** How a section opened here stands by this job's own pressure tests. */
export function pressureState(dossier: Dossier, section: ScopedSection, scope: Scope): SectionState {
  return sectionState(
    section,
    section.system,
    section.system.pressureTests.filter((test) => test.jobId === dossier.job.id),
    weighPressure(dossier, section),
    dossier.policy.pressure.holdS,
    leftOutOf(section, scope),
  )
}

/** How a section opened here stands by this job's own evacuations. */
export function vacuumState(dossier: Dossier, section: ScopedSection, scope: Scope): SectionState {
  return sectionState(
    section,
    section.system,
    section.system.evacuations.filter((test) => test.jobId === dossier.job.id),
    weighEvacuation(dossier, section),
    vacuumCriteria(section.system.sheet, dossier.policy).holdS.value,
    leftOutOf(section, scope),
  )
}

/** Asks every section opened here, save charged quick-coupling lines and sections left out altogether. */
export function askSections(
  dossier: Dossier,
  nothing: string,
  ask: (section: ScopedSection, scope: Scope) => Answer,
): Answer[] {
  const scope = scopeOf(dossier)
  const answers = scope.openedSections.map((section) => {
    const subject = sectionSubject(section)
    const joints = section.joints.filter((joint) => !isPort(joint))
    const leftOut = leftOutOf(section, scope)
    if (isChargedCoupling(section)) {
      return notApplicable(subject, say.rules.aPreChargedLine)
    }
    if (joints.length > 0 && joints.every((joint) => leftOut.has(joint.id))) {
      return notApplicable(subject, say.rules.allItsJointsAre)
    }
    return ask(section, scope)
  })
  return answers.length > 0 ? answers : [notApplicable(jobSubject(dossier), nothing)]
}
