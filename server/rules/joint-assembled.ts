// Was each mechanical joint put together dry, aligned, oiled where its sheet says, and started by hand?

import { ASSEMBLY_POINTS, type JointKind, type Lubrication } from '../vocabulary.ts'
import { failed, jointSubject, met, open } from './answers.ts'
import type { AssemblyStep, EquipmentSheet, Joint } from './dossier.ts'
import type { Requirement } from './finding.ts'
import { askMakings } from './making-answers.ts'
import { judgePoints } from './points.ts'
import { stepsOf } from './scope.ts'
import { sheetSource } from './wording.ts'

const LUBRICATION_WORDS: Record<Lubrication, string> = {
  face: 'oil on the flare face',
  'face-and-back': 'oil on the face and the back of the flare',
  none: 'no oil',
  sealant: 'sealant',
}

/** What was put on the flare against what the sheet asks for; null when that is in order. */
function wrongLubrication(step: AssemblyStep, joint: Joint, sheet: EquipmentSheet | null): string | null {
  const { lubricated } = step.body
  const asked = sheet?.flareLubrication ?? null
  if (joint.kind !== 'flare') return null
  if (asked !== null && sheet !== null && lubricated !== asked) {
    return `It got ${LUBRICATION_WORDS[lubricated]}; ${sheetSource(sheet)} asks for ${LUBRICATION_WORDS[asked]}.`
  }
  if (asked === null && lubricated === 'sealant') {
    return 'It got sealant. A flare seals metal on metal (common practice, no source).'
  }
  return null
}

const MECHANICAL: readonly JointKind[] = ['flare', 'compression', 'adapter', 'quick-coupling']

export const jointAssembled: Requirement = {
  code: 'joint-assembled',
  title: 'The joint is assembled dry, aligned and started by hand',
  source: 'lubrication: equipment sheet; the rest: common practice, no source',
  check(dossier) {
    return askMakings(
      dossier,
      'assembly',
      MECHANICAL,
      'No joint was screwed together on this job.',
      ({ joint, make, system }) => {
        const subject = jointSubject(joint)
        const step = stepsOf(make, 'assembly').at(-1)
        if (!step) {
          return open(subject, {
            reason: 'No assembly is recorded for this making.',
            next: 'Assemble the joint and record it.',
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
            next: 'Open the joint, put it right, assemble it again and torque it.',
            evidence,
            concedable: true,
          })
        }
        if (outcome === 'incomplete') {
          return open(subject, {
            reason,
            next: 'Answer every point of the assembly.',
            evidence,
            concedable: true,
          })
        }
        return met(subject, { reason: 'Every point of the assembly is answered yes.', evidence })
      },
    )
  },
}
