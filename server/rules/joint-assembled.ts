// Was each mechanical joint put together dry, aligned, oiled where its sheet says, and started by hand?

import { ASSEMBLY_POINTS, type JointKind, type Lubrication } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { failed, jointSubject, met, open } from './answers.ts'
import type { AssemblyStep, EquipmentSheet, Joint } from './dossier.ts'
import type { Requirement } from './finding.ts'
import { askMakings } from './making-answers.ts'
import { judgePoints } from './points.ts'
import { stepsOf } from './scope.ts'
import { sheetSource } from './wording.ts'

const lubricationWords = (): Record<Lubrication, string> => ({
  face: say.rules.oilOnTheFlare,
  'face-and-back': say.rules.oilOnTheFace,
  none: say.rules.noOil,
  sealant: say.rules.sealant,
})

/** What was put on the flare against what the sheet asks for; null when that is in order. */
export function wrongLubrication(
  step: Pick<AssemblyStep, 'body'>,
  joint: Pick<Joint, 'kind'>,
  sheet: EquipmentSheet | null,
): string | null {
  const { lubricated } = step.body
  const asked = sheet?.flareLubrication ?? null
  if (joint.kind !== 'flare') return null
  if (asked !== null && sheet !== null && lubricated !== asked) {
    return say.rules.itGotAsksFor(
      lubricationWords()[lubricated],
      sheetSource(sheet),
      lubricationWords()[asked],
    )
  }
  if (asked === null && lubricated === 'sealant') {
    return say.rules.itGotSealantA
  }
  return null
}

const MECHANICAL: readonly JointKind[] = ['flare', 'compression', 'adapter', 'quick-coupling']

export const jointAssembled: Requirement = {
  code: 'joint-assembled',
  get title() {
    return say.rules.theJointIsAssembled
  },
  get source() {
    return say.rules.lubricationEquipmentSheetThe
  },
  check(dossier) {
    return askMakings(
      dossier,
      'assembly',
      MECHANICAL,
      say.rules.noJointWasScrewed,
      ({ joint, make, system }) => {
        const subject = jointSubject(joint)
        const step = stepsOf(make, 'assembly').at(-1)
        if (!step) {
          return open(subject, {
            reason: say.rules.noAssemblyIsRecorded,
            next: say.rules.assembleTheJointAnd,
            concedable: true,
          })
        }
        const evidence = [step.id]
        // On a flare every point can be done; a coupling or a compression joint may lack what a point asks about.
        const { outcome, reason } = judgePoints(
          step.body.points,
          ASSEMBLY_POINTS,
          () => joint.kind !== 'flare',
        )
        const wrong = wrongLubrication(step, joint, system.sheet)
        if (outcome === 'some-no' || wrong) {
          return failed(subject, {
            reason: [outcome === 'some-no' ? reason : '', wrong ?? ''].filter(Boolean).join(' '),
            next: say.rules.openTheJointPut,
            evidence,
            concedable: true,
          })
        }
        if (outcome === 'incomplete') {
          return open(subject, {
            reason,
            next: say.rules.answerEveryPointOf,
            evidence,
            concedable: true,
          })
        }
        return met(subject, { reason: say.rules.everyPointOfThe, evidence })
      },
    )
  },
}
