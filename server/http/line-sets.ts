// Line sets: the pairs of tubes of a system, laid and changed, as pages and as JSON.

import type { FormState } from '../../views/parts/field.tsx'
import {
  EditLineSet,
  type LineSetStart,
  type LineSetView,
  NewLineSet,
  TUBE_SIZES,
} from '../../views/systems/line-set-form.tsx'
import { addLineSet, type LaidLineSet } from '../commands/places/add-line-set.ts'
import { changeLineSet } from '../commands/places/change-line-set.ts'
import { newId } from '../ids.ts'
import { tubeName } from '../rules/wording.ts'
import { findSheetIfAny, type SheetRow } from '../store/queries/equipment-sheets.ts'
import { listOpenJobsOfSystem } from '../store/queries/jobs.ts'
import { findLineSet, hasMakes, type LineSetRow } from '../store/queries/line-sets.ts'
import { findSystem, listUnits, loadSystem, type SystemRow } from '../store/queries/systems.ts'
import type { AsTyped } from '../store/rows.ts'
import { isFlammable } from '../trade/refrigerants.ts'
import { sameTubeSize } from '../trade/tube.ts'
import type { QuantityKind, UnitOf } from '../trade/units.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { expand, type Fields } from './form.ts'
import { chosenQuantity, emptyAsNull, quantityOrNull } from './form-fields.ts'
import { instant, type QuantityJson, quantityJson } from './json.ts'
import { placedJointJson } from './placed-joint.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'

export function lineSetsResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/systems/:systemId/line-sets/new',
    name: 'new-line-set',
    summary: 'The form for a new line set.',
    capability: 'set-up-system',
    load: ({ scope, params }) => findSystem(scope, params.systemId ?? ''),
    page: (_system, ask) => newPage(ask),
  })

  resource.write({
    path: '/systems/:systemId/line-sets',
    command: addLineSet,
    status: 201,
    json: laidJson,
    page: {
      input: (fields) => withSizes(fields, expand(fields)),
      goTo: ({ lineSet }) => (lineSet.jobId ? `/jobs/${lineSet.jobId}` : `/systems/${lineSet.systemId}`),
      again: (form, _refusal, ask) => newPage(ask, form),
    },
  })

  resource.read({
    path: '/line-sets/:lineSetId',
    name: 'read-line-set',
    summary: 'One line set with its joints.',
    load: async ({ scope, params }) => {
      const lineSet = await findLineSet(scope, params.lineSetId ?? '')
      const { joints } = await loadSystem(scope, lineSet.systemId)
      return { lineSet, joints: joints.filter((joint) => joint.lineSetId === lineSet.id) }
    },
    json: laidJson,
  })

  resource.read({
    path: '/line-sets/:lineSetId/edit',
    name: 'edit-line-set',
    summary: 'The form that changes a line set.',
    capability: 'set-up-system',
    load: ({ scope, params }) => findLineSet(scope, params.lineSetId ?? ''),
    page: (_lineSet, ask) => editPage(ask),
  })

  resource.write({
    method: 'PATCH',
    path: '/line-sets/:lineSetId',
    command: changeLineSet,
    json: laidJson,
    page: {
      input: changesOf,
      goTo: ({ lineSet }) => `/systems/${lineSet.systemId}`,
      again: (form, _refusal, ask) => editPage(ask, form),
    },
  })
}

/** What was typed where it was kept, else SI. */
function typedOr<Kind extends QuantityKind>(
  typed: AsTyped,
  paths: string[],
  kind: Kind,
  si: number | null,
  unit: UnitOf<Kind>,
): QuantityJson | null {
  for (const path of paths) {
    const kept = typed[path]
    if (kept) return kept
  }
  return quantityJson(kind, si, unit)
}

export function lineSetJson(lineSet: LineSetRow) {
  const { typed, room } = lineSet
  return {
    id: lineSet.id,
    systemId: lineSet.systemId,
    jobId: lineSet.jobId,
    name: lineSet.name,
    fromUnitId: lineSet.fromUnitId,
    toUnitId: lineSet.toUnitId,
    liquidOd: typedOr(typed, ['liquidOd'], 'length', lineSet.liquidOdM, 'm'),
    gasOd: typedOr(typed, ['gasOd'], 'length', lineSet.gasOdM, 'm'),
    length: typedOr(typed, ['length'], 'length', lineSet.lengthM, 'm'),
    rise: typedOr(typed, ['rise'], 'length', lineSet.riseM, 'm'),
    tubing: lineSet.tubing,
    tubeWall: typedOr(typed, ['tubeWall'], 'length', lineSet.tubeWallM, 'm'),
    previousRefrigerant: lineSet.previousRefrigerant,
    cleaning: lineSet.cleaning,
    jointKind: lineSet.jointKind,
    room: room && {
      floorArea: typedOr(typed, ['room.floorArea', 'roomFloorArea'], 'area', room.floorAreaM2, 'm2'),
      releaseHeight: typedOr(typed, ['room.releaseHeight'], 'length', room.releaseHeightM, 'm'),
      mounting: room.mounting,
      method: room.method,
      document: room.document,
      page: room.page,
      measured: room.measured,
    },
    createdAt: instant(lineSet.createdAt),
  }
}

const laidJson = ({ lineSet, joints }: LaidLineSet) => ({
  ...lineSetJson(lineSet),
  joints: joints.map(placedJointJson),
})

/** The tube sizes are chosen from a list, as one word with their unit. */
function withSizes(fields: Fields, input: Record<string, unknown>): Record<string, unknown> {
  const liquidOd = chosenQuantity(fields.liquidOd)
  const gasOd = chosenQuantity(fields.gasOd)
  return { ...input, ...(liquidOd ? { liquidOd } : {}), ...(gasOd ? { gasOd } : {}) }
}

/** The edit form shows all that is known, so what comes back empty was taken away. */
function changesOf(fields: Fields): Record<string, unknown> {
  const { room, ...input } = withSizes(fields, expand(fields)) as Record<string, unknown> & { room?: object }
  const said = ['floorArea.value', 'mounting', 'releaseHeight.value', 'document', 'page']
  const roomSaid = said.some((name) => emptyAsNull(fields[`room.${name}`]) !== null)
  return {
    ...input,
    rise: quantityOrNull(fields, 'rise'),
    tubeWall: quantityOrNull(fields, 'tubeWall'),
    previousRefrigerant: emptyAsNull(fields.previousRefrigerant),
    cleaning: emptyAsNull(fields.cleaning),
    room: roomSaid ? room : null,
  }
}

async function newPage(ask: Ask, form?: FormState) {
  const { scope, params, query, actor } = ask
  const { system, units, lineSets } = await loadSystem(scope, params.systemId ?? '')
  const standing = units.filter((unit) => unit.removedAt === null)
  const reached = new Set(lineSets.map((lineSet) => lineSet.toUnitId))
  const jobs = await listOpenJobsOfSystem(scope, system.id)
  const from = standing.filter((unit) => unit.role !== 'indoor')
  return NewLineSet({
    shell: shellOf(actor, '/jobs'),
    id: form?.values.id ?? newId(),
    system: {
      id: system.id,
      name: system.name,
      refrigerant: system.refrigerant,
      flammable: isFlammable(system.refrigerant),
    },
    jobId: form?.values.jobId ?? query.job ?? (jobs.length === 1 ? jobs[0]?.id : undefined),
    from: from.map(({ id, name, model }) => ({ id, name: `${name}, ${model}` })),
    to: standing
      .filter((unit) => unit.role !== 'outdoor' && !reached.has(unit.id))
      .map(({ id, name, model }) => ({ id, name: `${name}, ${model}` })),
    branched: standing.some((unit) => unit.role === 'branch'),
    start: await startOf(ask, system, lineSets),
    form,
  })
}

/** What the tubes most likely are: as on the line set before, else as the sheet has them, else the most usual pair. */
async function startOf(
  { scope }: Ask,
  system: SystemRow,
  lineSets: readonly LineSetRow[],
): Promise<LineSetStart> {
  const last = lineSets.at(-1)
  const sheet = system.equipmentSheetId ? await findSheetIfAny(scope, system.equipmentSheetId) : null
  const pair = last
    ? { liquidOdM: last.liquidOdM, gasOdM: last.gasOdM, from: say.systems.on(last.name) }
    : sheet
      ? pairOnSheet(sheet)
      : null
  const { liquidOdM, gasOdM } = pair ?? { liquidOdM: 0.00635, gasOdM: 0.009525 }
  const sizes = [liquidOdM, gasOdM].map((odM) => ({ value: chosenSize(odM), label: tubeName(odM) }))
  return {
    liquidOd: chosenSize(liquidOdM),
    gasOd: chosenSize(gasOdM),
    unlisted: sizes.filter(({ value }) => !TUBE_SIZES.some((size) => size.value === value)),
    sizesFrom: pair?.from ?? null,
    jointKind: last?.jointKind ?? 'flare',
    fromUnitId: last?.fromUnitId ?? undefined,
  }
}

/** The pair of tubes that a sheet speaks of, where it leaves no doubt. */
function pairOnSheet({ maker, model, figures }: SheetRow) {
  const named = [...figures.torqueNm, ...figures.flareDiameterM].map(({ tubeOdM }) => tubeOdM)
  const sizes = named
    .filter((odM, index) => named.findIndex((one) => sameTubeSize(one, odM)) === index)
    .sort((a, b) => a - b)
  const [adder, ...otherAdders] = figures.chargeAdders
  const liquidOdM = adder && otherAdders.length === 0 ? adder.liquidOdM : sizes[0]
  const larger = sizes.filter((odM) => liquidOdM !== undefined && odM > liquidOdM + 1e-4)
  const [gasOdM, ...others] = larger
  if (liquidOdM === undefined || gasOdM === undefined || others.length > 0) return null
  return { liquidOdM, gasOdM, from: say.systems.onTheSheetOf(maker, model) }
}

/** As the list of sizes has it. */
function chosenSize(odM: number): string {
  const listed = TUBE_SIZES.find((size) => sameTubeSize(size.odM, odM))
  return listed?.value ?? `${Number((odM * 1000).toFixed(3))} mm`
}

async function editPage(ask: Ask, form?: FormState) {
  const lineSet = await findLineSet(ask.scope, ask.params.lineSetId ?? '')
  const units = await listUnits(ask.scope, [lineSet.systemId])
  const system = await findSystem(ask.scope, lineSet.systemId)
  return EditLineSet({
    shell: shellOf(ask.actor, '/jobs'),
    system: { id: system.id, name: system.name },
    lineSet: await viewOf(ask, lineSet),
    to:
      lineSet.toUnitId === null
        ? units
            .filter((unit) => unit.removedAt === null && unit.role !== 'outdoor')
            .map(({ id, name, model }) => ({ id, name: `${name}, ${model}` }))
        : [],
    form,
  })
}

async function viewOf({ scope }: Ask, lineSet: LineSetRow): Promise<LineSetView> {
  const json = lineSetJson(lineSet)
  return {
    id: lineSet.id,
    name: lineSet.name,
    liquidOd: { value: chosenSize(lineSet.liquidOdM), label: tubeName(lineSet.liquidOdM) },
    gasOd: { value: chosenSize(lineSet.gasOdM), label: tubeName(lineSet.gasOdM) },
    length: json.length,
    rise: json.rise,
    tubing: lineSet.tubing,
    tubeWall: json.tubeWall,
    previousRefrigerant: lineSet.previousRefrigerant,
    cleaning: lineSet.cleaning,
    jointKind: lineSet.jointKind,
    room: json.room,
    sizesStay: await hasMakes(scope, lineSet.id),
  }
}
