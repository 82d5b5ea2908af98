// Which torques and flare diameters hold for the equipment at hand? Its sheet's own first, then the printed sets.

import { FiguresPage, type SizeFigures } from '../../views/systems/figures.tsx'
import type { EquipmentSheet, System } from '../rules/dossier.ts'
import { flareClassOf } from '../rules/flare-accepted.ts'
import { torqueRangeOf } from '../rules/judge-torque.ts'
import type { Policy } from '../rules/policy.ts'
import { sheetSource, tubeName } from '../rules/wording.ts'
import { loadForJudging, type SystemForJudging } from '../store/queries/judging.ts'
import { type FlareClass, type FlareDiameterBand, findFlareDiameterBand } from '../trade/flare.ts'
import { CHOOSABLE_TORQUE_FAMILIES, torqueFamilies } from '../trade/torque-ranges.ts'
import { sameTubeSize } from '../trade/tube.ts'
import { quantityJson } from './json.ts'
import type { Resource } from './resource.ts'
import { shellOf } from './shell.ts'

export function figuresResource(resource: Resource): void {
  resource.read({
    path: '/systems/:systemId/figures',
    name: 'read-figures',
    summary: 'The torque range and flare diameter of each tube size of a system, with their sources.',
    load: ({ scope, params }) => loadForJudging(scope, params.systemId ?? ''),
    json: (seen) => ({
      equipmentSheetId: seen.system.sheet?.id ?? null,
      flareClass: flareClassOf(seen.system),
      sizes: sizesOf(seen).map(({ tubeOdM, torque, flare }) => ({
        tubeOd: quantityJson('length', tubeOdM, 'mm'),
        torque: torque && {
          low: quantityJson('torque', torque.lowNm, 'N.m'),
          high: quantityJson('torque', torque.highNm, 'N.m'),
          source: torque.source,
          ownSheet: torque.ownSheet,
        },
        flareDiameter: flare && {
          low: quantityJson('length', flare.lowM, 'mm'),
          high: quantityJson('length', flare.highM, 'mm'),
          source: flare.source,
          ownSheet: flare.ownSheet,
        },
      })),
    }),
    page: (seen, { actor, query }) => {
      const { system, policy } = seen
      return FiguresPage({
        shell: shellOf(actor, '/sites'),
        system: { id: system.id, name: system.name },
        sheet: system.sheet && {
          id: system.sheet.id,
          name: `${system.sheet.maker} ${system.sheet.model}`,
          document: system.sheet.source.document,
          page: system.sheet.source.page,
        },
        back: query.joint ? { jointId: query.joint, jobId: query.job } : null,
        sizes: sizesOf(seen),
        families: CHOOSABLE_TORQUE_FAMILIES.map((code) => ({
          code,
          name: torqueFamilies()[code].name,
          source: torqueFamilies()[code].source,
          isUsed: policy.criteria.torqueFamily === code,
          ranges: torqueFamilies()[code].ranges.map((range) => ({ ...range, size: tubeName(range.tubeOdM) })),
        })),
        flares: printedFlares(flareClassOf(system)),
      })
    },
  })
}

/** The tube sizes that the system is piped with, then those that only its sheet knows; small ones first. */
function sizesOf({ system, policy }: SystemForJudging): SizeFigures[] {
  const piped = system.joints.filter((joint) => joint.retiredAt === null).map((joint) => joint.tubeOdM)
  const onSheet = [...(system.sheet?.torqueNm ?? []), ...(system.sheet?.flareDiameterM ?? [])].map(
    (row) => row.tubeOdM,
  )
  const sizes: number[] = []
  for (const odM of [...piped, ...onSheet]) if (!sizes.some((one) => sameTubeSize(one, odM))) sizes.push(odM)
  return sizes
    .sort((a, b) => a - b)
    .map((tubeOdM) => ({
      tubeOdM,
      size: tubeName(tubeOdM),
      torque: torqueFor(tubeOdM, system.sheet, policy.criteria),
      flare: flareFor(tubeOdM, system),
    }))
}

function torqueFor(tubeOdM: number, sheet: EquipmentSheet | null, policy: Policy): SizeFigures['torque'] {
  const range = torqueRangeOf({ kind: 'flare', tubeOdM }, sheet, policy)
  const ownSheet = sheet?.torqueNm.some((row) => sameTubeSize(row.tubeOdM, tubeOdM)) ?? false
  return range && { ...range, ownSheet }
}

function flareFor(tubeOdM: number, system: System): SizeFigures['flare'] {
  const { sheet } = system
  const row = sheet?.flareDiameterM.find((one) => sameTubeSize(one.tubeOdM, tubeOdM))
  if (sheet && row) return { lowM: row.lowM, highM: row.highM, source: sheetSource(sheet), ownSheet: true }
  const band = findFlareDiameterBand(flareClassOf(system), tubeOdM)
  return band && { ...band, ownSheet: false }
}

/** The bands as printed for a class, of every size that has one. */
function printedFlares(flareClass: FlareClass) {
  const bands = torqueFamilies()['jis-b-8607-class-2'].ranges.flatMap(({ tubeOdM }) => {
    const band: FlareDiameterBand | null = findFlareDiameterBand(flareClass, tubeOdM)
    return band ? [{ ...band, size: tubeName(tubeOdM) }] : []
  })
  return { flareClass, source: bands[0]?.source ?? '', bands }
}
