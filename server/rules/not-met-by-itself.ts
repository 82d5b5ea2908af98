// Does a step say by itself that something is not met, before the whole job is looked at?

import type { TorqueVerdict } from '../vocabulary.ts'
import type { EquipmentSheet, Joint, Points, Step } from './dossier.ts'
import { judgeDiameter } from './flare-accepted.ts'
import { wrongLubrication } from './joint-assembled.ts'

const ENOUGH: ReadonlySet<TorqueVerdict> = new Set(['in-range', 'not-measured'])

/**
 * Every step that fails a requirement of its joint answers true; one that answers true may still turn out to be in
 * order, once the job is judged.
 */
export function isNotMetByItself(
  step: Step,
  joint: Pick<Joint, 'kind' | 'tubeOdM'>,
  sheet: EquipmentSheet | null,
  torque: TorqueVerdict | null,
): boolean {
  switch (step.kind) {
    case 'preparation':
    case 'closing':
      return hasNo(step.body.points)
    case 'assembly':
      return hasNo(step.body.points) || wrongLubrication(step, joint, sheet) !== null
    case 'inspection':
      return (
        step.body.outcome === 'rejected' ||
        hasNo(step.body.points) ||
        // The class of the flare is the system's: here it is asked for both.
        (['R-32', 'R-22'] as const).some(
          (refrigerant) => judgeDiameter(step, joint, { refrigerant, sheet }).outOfBand !== null,
        )
      )
    case 'brazing':
      return !step.body.nitrogenFlow
    case 'pressing':
      return !step.body.insertionMarked
    case 'leak-check':
      return step.body.result === 'found'
    case 'torque':
      return torque === null || !ENOUGH.has(torque)
    case 'flare':
      return false
  }
}

const hasNo = ({ answers }: Points) => Object.values(answers).includes('no')
