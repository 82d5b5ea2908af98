// Was each flare looked at and accepted, and is its diameter in the band of its size where it was measured?

import {
  type FlareClass,
  flareClassForPressure,
  judgeFlareDiameter,
  judgeProjection,
} from '../trade/flare.ts'
import { sameTubeSize } from '../trade/tube.ts'
import { INSPECTION_POINTS } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { failed, jointSubject, met, open } from './answers.ts'
import type { InspectionStep, Joint, Make, System } from './dossier.ts'
import type { JudgedNumber, Requirement } from './finding.ts'
import { askMakings } from './making-answers.ts'
import { judgePoints } from './points.ts'
import { stepsOf } from './scope.ts'
import { millimetres, sheetSource, span, tubeName } from './wording.ts'

/** Refrigerants whose joints are made to class 2 whatever the plate says (common practice, no source). */
const CLASS_2_REFRIGERANTS: ReadonlySet<string> = new Set(['R-410A', 'R-32', 'R-454B'])

export function flareClassOf(system: Pick<System, 'refrigerant' | 'sheet'>): FlareClass {
  if (CLASS_2_REFRIGERANTS.has(system.refrigerant)) return 'class-2'
  const highestPa = system.sheet?.maxPressureGaugePa
  return highestPa != null && flareClassForPressure(highestPa) !== 'class-1' ? 'class-2' : 'class-1'
}

interface DiameterAnswer {
  outOfBand: string | null
  numbers: JudgedNumber[]
  note: string
}

/** The measured diameter against the sheet's band, else the built-in band of the class. */
export function judgeDiameter(
  inspection: Pick<InspectionStep, 'body'>,
  joint: Pick<Joint, 'tubeOdM'>,
  system: Pick<System, 'refrigerant' | 'sheet'>,
): DiameterAnswer {
  const { diameterCheck, outerDiameterM } = inspection.body
  if (diameterCheck === 'gauge-pass')
    return { outOfBand: null, numbers: [], note: say.rules.itPassedTheGauge }
  if (diameterCheck === 'not-checked') {
    return { outOfBand: null, numbers: [], note: say.rules.itsDiameterWasNot }
  }
  if (outerDiameterM === null) return { outOfBand: null, numbers: [], note: say.rules.noDiameterWasWritten }
  const { sheet } = system
  const row = sheet?.flareDiameterM.find((candidate) => sameTubeSize(candidate.tubeOdM, joint.tubeOdM))
  const { verdict, band } = judgeFlareDiameter({
    outerDiameterM,
    tubeOdM: joint.tubeOdM,
    flareClass: flareClassOf(system),
    sheetBand: sheet && row ? { lowM: row.lowM, highM: row.highM, source: sheetSource(sheet) } : undefined,
  })
  const size = tubeName(joint.tubeOdM)
  const numbers: JudgedNumber[] = [
    {
      name: say.rules.flareOuterDiameter,
      value: outerDiameterM,
      unit: 'm',
      low: band?.lowM,
      high: band?.highM,
      source: band?.source,
    },
  ]
  if (!band) return { outOfBand: null, numbers, note: say.rules.thereIsNoBand(size) }
  const wanted = say.rules.forWord(span(band.lowM * 1000, band.highM * 1000, 'mm'), size)
  const measured = millimetres(outerDiameterM)
  if (verdict === 'in-band') return { outOfBand: null, numbers, note: say.rules.isWithin3(measured, wanted) }
  const side = verdict === 'too-small' ? say.rules.belowWord : say.rules.aboveWord
  return { outOfBand: say.rules.is(measured, side, wanted), numbers, note: '' }
}

/** Whether the tube stood out of the die as the tool asks; shown, and no reason to refuse a sound flare. */
function projectionOf(make: Make, joint: Joint, system: System): JudgedNumber[] {
  const body = stepsOf(make, 'flare').at(-1)?.body
  if (body?.projectionM == null || body.method === 'powered') return []
  const { band } = judgeProjection({
    projectionM: body.projectionM,
    tool: body.method === 'manual-wing' ? 'wing' : 'clutch',
    flareClass: flareClassOf(system),
    tubeOdM: joint.tubeOdM,
  })
  return [
    {
      name: say.rules.projectionAboveTheDie,
      value: body.projectionM,
      unit: 'm',
      low: band?.lowM,
      high: band?.highM,
      source: band?.source,
    },
  ]
}

export const flareAccepted: Requirement = {
  code: 'flare-accepted',
  get title() {
    return say.rules.theFlareIsInspected
  },
  get source() {
    return say.rules.diameterBandEquipmentSheet
  },
  check(dossier) {
    return askMakings(
      dossier,
      'inspection',
      ['flare'],
      say.rules.noFlareWasMade,
      ({ joint, make, system }) => {
        const subject = jointSubject(joint)
        const step = stepsOf(make, 'inspection').at(-1)
        if (!step) {
          return open(subject, {
            reason: say.rules.theFlareWasNot,
            next:
              joint.origin === 'factory' ? say.rules.inspectTheFactoryFlare : say.rules.inspectTheFlareAnd,
            concedable: false,
          })
        }
        const evidence = [step.id]
        const remake = say.rules.cutItOffAnd(make.number + 1)
        if (step.body.outcome === 'rejected') {
          return failed(subject, {
            reason: say.rules.makingWasRejectedAtInspection(make.number),
            next: remake,
            evidence,
            concedable: false,
          })
        }
        const points = judgePoints(step.body.points, INSPECTION_POINTS, () => true)
        if (points.outcome === 'some-no') {
          return failed(subject, {
            reason: say.rules.itWasAcceptedAlthough(points.reason),
            next: remake,
            evidence,
            concedable: false,
          })
        }
        if (points.outcome === 'incomplete') {
          return open(subject, {
            reason: points.reason,
            next: say.rules.inspectTheFlareAgain,
            evidence,
            concedable: false,
          })
        }
        const diameter = judgeDiameter(step, joint, system)
        const numbers = [...diameter.numbers, ...projectionOf(make, joint, system)]
        if (diameter.outOfBand) {
          return failed(subject, {
            reason: diameter.outOfBand,
            next: remake,
            numbers,
            evidence,
            concedable: false,
          })
        }
        return met(subject, { reason: say.rules.inspectedAndAccepted(diameter.note), numbers, evidence })
      },
    )
  },
}
