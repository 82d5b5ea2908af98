// How is each step called, and what is asked of it?

import type { FlareMethod, StepKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'

export const stepTitles = (): Record<StepKind, string> => ({
  preparation: say.joints.preparation,
  flare: say.joints.flare,
  brazing: say.joints.brazing,
  pressing: say.joints.pressing,
  inspection: say.joints.inspection,
  assembly: say.joints.assembly,
  torque: say.joints.torque,
  closing: say.joints.closing,
  'leak-check': say.joints.leakCheck,
})

export interface PointWords {
  code: string
  label: string
  why?: string
}

export const preparationWords = (): PointWords[] => [
  { code: 'squareCut', label: say.joints.cutSquare },
  { code: say.joints.deburred, label: say.joints.deburredInside },
  { code: 'burrsKeptOut', label: say.joints.burrsKeptOut, why: say.joints.facingDownPluggedOr },
  { code: 'tubeClean', label: say.joints.tubeCleanAndDry },
  { code: 'nutOn', label: say.joints.nutOnTheTube },
]
export const inspectionWords = (): PointWords[] => [
  { code: say.joints.even, label: say.joints.evenAllRound },
  { code: say.joints.smooth, label: say.joints.smooth2 },
  { code: say.joints.centred, label: say.joints.centred2 },
  { code: 'noCracks', label: say.joints.noCracks },
  { code: 'noFlatSpots', label: say.joints.noFlatSpots },
]
export const assemblyWords = (): PointWords[] => [
  { code: 'lubricatedAsSheet', label: say.joints.oiledAsTheManual, why: say.joints.usuallyOnTheFlare },
  { code: 'threadsDry', label: say.joints.threadsDry },
  { code: 'insideDry', label: say.joints.insideOfTheTube },
  { code: say.joints.aligned, label: say.joints.aligned2 },
  { code: 'startedByHand', label: say.joints.nutStartedByHand },
  { code: 'backingWrench', label: say.joints.bodyHeldWithA },
]
export const closingWords = (): PointWords[] => [
  { code: 'coreTight', label: say.joints.coreTight },
  { code: 'capOn', label: say.joints.capOn },
  { code: 'capTight', label: say.joints.capTight },
]

export const flareMethodWords = (): Record<FlareMethod, string> => ({
  powered: say.joints.powered,
  'manual-clutch': say.joints.byHandWithClutch,
  'manual-wing': say.joints.byHandWingScrew,
})
