// How is each step called, and what is asked of it?

import type { FlareMethod, StepKind } from '../../server/vocabulary.ts'

export const STEP_TITLES: Record<StepKind, string> = {
  preparation: 'Preparation',
  flare: 'Flare',
  brazing: 'Brazing',
  pressing: 'Pressing',
  inspection: 'Inspection',
  assembly: 'Assembly',
  torque: 'Torque',
  closing: 'Closing',
  'leak-check': 'Leak check',
}

export interface PointWords {
  code: string
  label: string
  why?: string
}

export const PREPARATION_WORDS: PointWords[] = [
  { code: 'squareCut', label: 'Cut square' },
  { code: 'deburred', label: 'Deburred inside' },
  { code: 'burrsKeptOut', label: 'Burrs kept out', why: 'facing down, plugged or wiped' },
  { code: 'tubeClean', label: 'Tube clean and dry' },
  { code: 'nutOn', label: 'Nut on the tube' },
]
export const INSPECTION_WORDS: PointWords[] = [
  { code: 'even', label: 'Even all round' },
  { code: 'smooth', label: 'Smooth' },
  { code: 'centred', label: 'Centred' },
  { code: 'noCracks', label: 'No cracks' },
  { code: 'noFlatSpots', label: 'No flat spots' },
]
export const ASSEMBLY_WORDS: PointWords[] = [
  { code: 'lubricatedAsSheet', label: 'Oiled as the manual says', why: 'usually on the flare faces only' },
  { code: 'threadsDry', label: 'Threads dry' },
  { code: 'insideDry', label: 'Inside of the tube dry' },
  { code: 'aligned', label: 'Aligned' },
  { code: 'startedByHand', label: 'Nut started by hand' },
  { code: 'backingWrench', label: 'Body held with a second wrench' },
]
export const CLOSING_WORDS: PointWords[] = [
  { code: 'coreTight', label: 'Core tight' },
  { code: 'capOn', label: 'Cap on' },
  { code: 'capTight', label: 'Cap tight' },
]

export const FLARE_METHOD_WORDS: Record<FlareMethod, string> = {
  powered: 'Powered',
  'manual-clutch': 'By hand, with clutch',
  'manual-wing': 'By hand, wing screw',
}
