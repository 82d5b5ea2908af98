// Systems with their units and joints: what is on one refrigerant circuit, as pages and as JSON.

import type { FormState } from '../../views/parts/field.tsx'
import { JointForm, RetireForm } from '../../views/systems/joint-forms.tsx'
import { SystemPage } from '../../views/systems/show.tsx'
import { EditSystem, NewSystem } from '../../views/systems/system-form.tsx'
import { RemovalForm, UnitForm } from '../../views/systems/unit-forms.tsx'
import { may } from '../access/capabilities.ts'
import { addJoint } from '../commands/places/add-joint.ts'
import { addSystem } from '../commands/places/add-system.ts'
import { addUnit } from '../commands/places/add-unit.ts'
import { changeSystem } from '../commands/places/change-system.ts'
import { removeUnit } from '../commands/places/remove-unit.ts'
import { retireJoint } from '../commands/places/retire-joint.ts'
import { newId } from '../ids.ts'
import { jointKindWords, tubeName } from '../rules/wording.ts'
import { listCallbacks } from '../store/queries/callbacks.ts'
import { loadDossier } from '../store/queries/dossier.ts'
import { findSheetIfAny, listSheetNames } from '../store/queries/equipment-sheets.ts'
import { findJob, listOpenJobsOfSystem } from '../store/queries/jobs.ts'
import { findJointRow } from '../store/queries/joints.ts'
import { findSite } from '../store/queries/sites.ts'
import {
  type DatedUnit,
  findSystem,
  findUnit,
  listJobsOfSystem,
  loadSystem,
  type WholeSystem,
} from '../store/queries/systems.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { expand } from './form.ts'
import { chosenQuantity, emptyAsNull } from './form-fields.ts'
import { instant, instantOrNull } from './json.ts'
import { lineSetJson } from './line-sets.ts'
import { placedJointJson } from './placed-joint.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { systemLineJson } from './sites.ts'
import { placeWords, stripOf } from './strip-of.ts'

export function systemsResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/jobs/:jobId/systems/new',
    name: 'new-system',
    summary: 'The form for a new system at a job’s site.',
    capability: 'set-up-system',
    load: ({ scope, params }) => findJob(scope, params.jobId ?? ''),
    page: (_job, ask) => newPage(ask),
  })

  resource.write({
    path: '/jobs/:jobId/systems',
    command: addSystem,
    status: 201,
    json: systemJson,
    page: {
      // A line set is what comes next.
      goTo: ({ system }, { params }) => `/systems/${system.id}/line-sets/new?job=${params.jobId}`,
      again: (form, _refusal, ask) => newPage(ask, form),
    },
  })

  resource.read({
    path: '/systems/:systemId',
    name: 'read-system',
    summary: 'A system with its units (those taken out too), line sets and joints.',
    load: ({ scope, params }) => loadSystem(scope, params.systemId ?? ''),
    json: systemJson,
    page: (whole, ask) => systemPage(ask, whole),
  })

  resource.read({
    path: '/systems/:systemId/edit',
    name: 'edit-system',
    summary: 'The form that changes a system.',
    capability: 'set-up-system',
    load: ({ scope, params }) => findSystem(scope, params.systemId ?? ''),
    page: (_system, ask) => editPage(ask),
  })

  resource.write({
    method: 'PATCH',
    path: '/systems/:systemId',
    command: changeSystem,
    json: systemJson,
    page: {
      input: (fields) => ({ name: fields.name, equipmentSheetId: emptyAsNull(fields.equipmentSheetId) }),
      goTo: ({ system }) => `/systems/${system.id}`,
      again: (form, _refusal, ask) => editPage(ask, form),
    },
  })

  resource.read({
    path: '/systems/:systemId/units/new',
    name: 'new-unit',
    summary: 'The form for a new unit, or one in place of another.',
    capability: 'set-up-system',
    load: ({ scope, params }) => findSystem(scope, params.systemId ?? ''),
    page: (_system, ask) => unitPage(ask),
  })

  resource.write({
    path: '/systems/:systemId/units',
    command: addUnit,
    status: 201,
    json: unitJson,
    page: {
      goTo: (unit) => `/systems/${unit.systemId}`,
      again: (form, _refusal, ask) => unitPage(ask, form),
    },
  })

  resource.read({
    path: '/units/:unitId/removal',
    name: 'new-removal',
    summary: 'The form that takes a unit out.',
    capability: 'set-up-system',
    load: ({ scope, params }) => findUnit(scope, params.unitId ?? ''),
    page: (_unit, ask) => removalPage(ask),
  })

  resource.write({
    path: '/units/:unitId/removal',
    command: removeUnit,
    status: 201,
    json: unitJson,
    page: {
      goTo: (unit) => `/systems/${unit.systemId}`,
      again: (form, _refusal, ask) => removalPage(ask, form),
    },
  })

  resource.read({
    path: '/systems/:systemId/joints/new',
    name: 'new-joint',
    summary: 'The form for a joint that no line set laid out.',
    capability: 'set-up-system',
    load: ({ scope, params }) => findSystem(scope, params.systemId ?? ''),
    page: (_system, ask) => jointPage(ask),
  })

  resource.write({
    path: '/systems/:systemId/joints',
    command: addJoint,
    status: 201,
    json: placedJointJson,
    page: {
      input: (fields) => {
        const tubeOd = chosenQuantity(fields.tubeOd)
        return { ...expand(fields), ...(tubeOd ? { tubeOd } : {}) }
      },
      goTo: (joint) => `/systems/${joint.systemId}`,
      again: (form, _refusal, ask) => jointPage(ask, form),
    },
  })

  resource.read({
    path: '/joints/:jointId/retire',
    name: 'new-retirement',
    summary: 'The form that takes a joint out of service.',
    capability: 'set-up-system',
    load: ({ scope, params }) => findJointRow(scope, params.jointId ?? ''),
    page: (_joint, ask) => retirePage(ask),
  })

  resource.write({
    path: '/joints/:jointId/retire',
    command: retireJoint,
    status: 201,
    json: placedJointJson,
    page: {
      goTo: (joint) => `/systems/${joint.systemId}`,
      again: (form, _refusal, ask) => retirePage(ask, form),
    },
  })
}

export const unitJson = (unit: DatedUnit) => ({
  id: unit.id,
  systemId: unit.systemId,
  role: unit.role,
  name: unit.name,
  model: unit.model,
  serial: unit.serial,
  equipmentSheetId: unit.equipmentSheetId,
  replacesUnitId: unit.replacesUnitId,
  installedAt: instant(unit.installedAt),
  warrantyStart: instantOrNull(unit.warrantyStartAt),
  warrantyEnd: instantOrNull(unit.warrantyEndAt),
  registeredWithMaker: unit.registeredWithMaker,
  removedAt: instantOrNull(unit.removedAt),
  removalReason: unit.removalReason,
})

export const systemJson = ({ system, units, lineSets, joints }: WholeSystem) => ({
  ...systemLineJson(system),
  units: units.map(unitJson),
  lineSets: lineSets.map(lineSetJson),
  joints: joints.map(placedJointJson),
})

async function sheetOptions(ask: Ask, refrigerant?: string) {
  const sheets = await listSheetNames(ask.scope)
  return sheets
    .filter((sheet) => refrigerant === undefined || sheet.refrigerant === refrigerant)
    .map((sheet) => ({ value: sheet.id, label: `${sheet.maker} ${sheet.model}, ${sheet.refrigerant}` }))
}

async function newPage(ask: Ask, form?: FormState) {
  const job = await findJob(ask.scope, ask.params.jobId ?? '')
  const site = await findSite(ask.scope, job.siteId)
  return NewSystem({
    shell: shellOf(ask.actor, '/jobs'),
    id: form?.values.id ?? newId(),
    jobId: job.id,
    site: `${site.customerName}, ${site.address}`,
    sheets: await sheetOptions(ask),
    form,
  })
}

async function editPage(ask: Ask, form?: FormState) {
  const system = await findSystem(ask.scope, ask.params.systemId ?? '')
  return EditSystem({
    shell: shellOf(ask.actor, '/sites'),
    system,
    sheets: await sheetOptions(ask, system.refrigerant),
    form,
  })
}

async function unitPage(ask: Ask, form?: FormState) {
  const { system, units } = await loadSystem(ask.scope, ask.params.systemId ?? '')
  const replaced = units.find((unit) => unit.id === (form?.values.replacesUnitId ?? ask.query.replaces))
  return UnitForm({
    shell: shellOf(ask.actor, '/sites'),
    id: form?.values.id ?? newId(),
    system,
    sheets: await sheetOptions(ask, system.refrigerant),
    replaced: replaced && {
      id: replaced.id,
      role: replaced.role,
      name: replaced.name,
      serial: replaced.serial,
    },
    form,
  })
}

async function removalPage(ask: Ask, form?: FormState) {
  const unit = await findUnit(ask.scope, ask.params.unitId ?? '')
  const system = await findSystem(ask.scope, unit.systemId)
  return RemovalForm({
    shell: shellOf(ask.actor, '/sites'),
    id: form?.values.id ?? newId(),
    system,
    unit,
    form,
  })
}

async function jointPage(ask: Ask, form?: FormState) {
  const { system, lineSets } = await loadSystem(ask.scope, ask.params.systemId ?? '')
  return JointForm({
    shell: shellOf(ask.actor, '/sites'),
    id: form?.values.id ?? newId(),
    system,
    lineSets: lineSets.map(({ id, name }) => ({ value: id, label: name })),
    form,
  })
}

async function retirePage(ask: Ask, form?: FormState) {
  const joint = await findJointRow(ask.scope, ask.params.jointId ?? '')
  const system = await findSystem(ask.scope, joint.systemId)
  const jobs = await listOpenJobsOfSystem(ask.scope, system.id)
  return RetireForm({
    shell: shellOf(ask.actor, '/sites'),
    id: form?.values.id ?? newId(),
    system,
    joint: { id: joint.id, tag: joint.tag },
    jobs: jobs.map((job) => ({
      value: job.id,
      label: [capital(coded(job.kind)), job.reference].filter(Boolean).join(', '),
    })),
    form,
  })
}

async function systemPage(ask: Ask, whole: WholeSystem) {
  const { scope, actor } = ask
  const { system, units, lineSets, joints } = whole
  const site = await findSite(scope, system.siteId)
  const sheet = system.equipmentSheetId ? await findSheetIfAny(scope, system.equipmentSheetId) : null
  const jobs = await listJobsOfSystem(scope, system.id)
  const [newest] = jobs
  const dossier = newest ? await loadDossier(scope, newest.id, ask.now) : null
  const drawn = dossier?.systems.find((candidate) => candidate.id === system.id)
  const lineSetNames = new Map(lineSets.map((lineSet) => [lineSet.id, lineSet.name]))
  const unitNames = new Map(units.map((unit) => [unit.id, unit.name]))
  return SystemPage({
    shell: shellOf(actor, '/sites'),
    system,
    site: { id: site.id, customerName: site.customerName, address: site.address },
    sheet: sheet && { id: sheet.id, name: `${sheet.maker} ${sheet.model}` },
    strip:
      dossier && drawn && lineSets.length > 0
        ? stripOf(drawn, dossier, { hrefOf: (joint) => `/joints/${joint.id}` })
        : null,
    units: units.map((unit) => ({
      id: unit.id,
      role: unit.role,
      name: unit.name,
      model: unit.model,
      serial: unit.serial,
      installedAt: unit.installedAt,
      removedAt: unit.removedAt,
      removalReason: unit.removalReason,
      replaces: units.find((old) => old.id === unit.replacesUnitId)?.serial ?? null,
    })),
    lineSets: lineSets.map((lineSet) => ({
      id: lineSet.id,
      name: lineSet.name,
      runs: [lineSet.fromUnitId, lineSet.toUnitId]
        .map((id) => (id === null ? null : (unitNames.get(id) ?? null)))
        .map((name) => name ?? say.systems.notSaid)
        .join(say.systems.to2),
      sizes: say.systems.liquidGas(tubeName(lineSet.liquidOdM), tubeName(lineSet.gasOdM)),
      length: asTypedWords(lineSetJson(lineSet).length),
      rise: asTypedWords(lineSetJson(lineSet).rise),
      tubing: lineSet.tubing,
      room: roomWords(lineSetJson(lineSet).room),
    })),
    joints: joints.map((joint) => ({
      id: joint.id,
      tag: joint.tag,
      what: say.systems.line3(jointKindWords()[joint.kind], coded(joint.line), tubeName(joint.tubeOdM)),
      origin: joint.origin,
      where: [joint.lineSetId ? lineSetNames.get(joint.lineSetId) : null, placeWords(joint, units)]
        .filter(Boolean)
        .join(', '),
      retiredAt: joint.retiredAt,
      retiredReason: joint.retiredReason,
    })),
    jobs: jobs.map(({ id, kind, reference, stage, openedAt }) => ({ id, kind, reference, stage, openedAt })),
    callbacks: (await listCallbacks(scope, { systemId: system.id, limit: 50 })).items.map((callback) => ({
      id: callback.id,
      reportedAt: callback.reportedAt,
      symptom: callback.symptom,
      outcome: callback.outcome,
      causes: callback.findings.map(({ cause }) => cause),
      closedAt: callback.closedAt,
    })),
    mayTakeIn: may(actor, 'handle-callback'),
    openJobId: jobs.find((job) => job.stage === 'open')?.id ?? null,
    mayChange: may(actor, 'set-up-system'),
  })
}

/** "21 ft", as it was typed. */
function asTypedWords(quantity: { value: number; unit: string } | null): string | null {
  return quantity === null ? null : `${Number(quantity.value.toPrecision(6))} ${quantity.unit}`
}

function roomWords(room: ReturnType<typeof lineSetJson>['room']): string | null {
  if (room === null) return null
  const area = room.floorArea ? `${Number(room.floorArea.value.toPrecision(6))} ` : ''
  const unit = room.floorArea?.unit === 'sq.ft' ? say.systems.sqFt : 'm²'
  return [area === '' ? null : `${area}${unit}`, room.mounting && coded(room.mounting)]
    .filter(Boolean)
    .join(', ')
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)
