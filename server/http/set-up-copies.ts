// How is a system set up as an earlier one was? Which one is chosen, what comes along is shown, and then it is taken.

import { z } from 'zod'
import type { FormState } from '../../views/parts/field.tsx'
import { ChooseSetUpPage, CopySetUpPage } from '../../views/systems/copy-set-up.tsx'
import { copySetUp, standingUnits } from '../commands/places/copy-set-up.ts'
import { newId } from '../ids.ts'
import { judgeInstrument } from '../rules/judge-instrument.ts'
import { tubeName } from '../rules/wording.ts'
import { findSheetIfAny } from '../store/queries/equipment-sheets.ts'
import { listActiveInstruments } from '../store/queries/instruments.ts'
import { asInstrument } from '../store/queries/instruments-used.ts'
import { findJob } from '../store/queries/jobs.ts'
import { listLineSets } from '../store/queries/line-sets.ts'
import { findPolicy } from '../store/queries/policy.ts'
import { findSite, listSites } from '../store/queries/sites.ts'
import { listSystemsOfSites, loadSystem, type WholeSystem } from '../store/queries/systems.ts'
import { handFirst, listToolsUsedAt } from '../store/queries/tools-at-hand.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { expand, type Fields } from './form.ts'
import type { Ask, Resource } from './resource.ts'
import { listOf } from './section-tests.ts'
import { shellOf } from './shell.ts'
import { systemJson } from './systems.ts'

const copyQuery = z.object({
  from: z.string().max(60).optional(),
  q: z
    .string()
    .max(120, { error: () => say.jobs.keepItTo120 })
    .optional(),
})

/** Sites looked through at a time: more than fit on a screen, so that a word narrows it down. */
const SITES_SHOWN = 30

export function setUpCopiesResource(resource: Resource): void {
  resource.read({
    path: '/jobs/:jobId/systems/copy',
    name: 'choose-set-up',
    summary: 'The earlier systems whose set-up can be copied; with `from`, what would come along.',
    capability: 'set-up-system',
    query: copyQuery,
    async load(ask) {
      const job = await findJob(ask.scope, ask.params.jobId ?? '')
      const from = ask.query.from
      return { job, setUp: from === undefined ? null : await setUpOf(ask, from) }
    },
    json: async ({ setUp }, ask) =>
      setUp ? setUpJson(setUp) : { items: await earlierSystems(ask), nextCursor: null },
    page: async ({ job, setUp }, ask) =>
      setUp
        ? copyPage(ask, setUp)
        : ChooseSetUpPage({
            shell: shellOf(ask.actor, '/jobs'),
            jobId: job.id,
            q: ask.query.q ?? '',
            systems: await earlierSystems(ask),
          }),
  })

  resource.write({
    path: '/jobs/:jobId/systems/copy',
    command: copySetUp,
    status: 201,
    json: systemJson,
    page: {
      input: copyInput,
      goTo: (_whole, { params }) => `/jobs/${params.jobId}`,
      again: async (form, _refusal, ask) =>
        copyPage(ask, await setUpOf(ask, form.values.fromSystemId ?? ''), form),
    },
  })
}

function copyInput(fields: Fields) {
  const { branchUnits, lineSets, ...input } = expand(fields)
  return {
    ...input,
    branchUnits: listOf(branchUnits),
    lineSets: listOf(lineSets),
    tools: Object.keys(fields).flatMap((name) =>
      name.startsWith('_tool.') ? [name.slice('_tool.'.length)] : [],
    ),
  }
}

async function earlierSystems({ scope, query }: Ask) {
  const { items: sites } = await listSites(scope, { limit: SITES_SHOWN, q: query.q })
  const systems = await listSystemsOfSites(
    scope,
    sites.map((site) => site.id),
  )
  const lineSets = await listLineSets(
    scope,
    systems.map((system) => system.id),
  )
  return systems
    .map((system) => ({
      systemId: system.id,
      name: system.name,
      refrigerant: system.refrigerant,
      address: sites.find((site) => site.id === system.siteId)?.address ?? '',
      lineSets: lineSets.filter((line) => line.systemId === system.id).length,
      createdAt: system.createdAt,
    }))
    .sort((a, b) => b.createdAt - a.createdAt || (a.systemId < b.systemId ? 1 : -1))
    .map(({ createdAt: _, ...system }) => system)
}

type SetUp = Awaited<ReturnType<typeof setUpOf>>

/** What would come along; only what still stands, and only tools that are still in use. */
async function setUpOf(ask: Ask, systemId: string) {
  const { scope, now } = ask
  const whole = await loadSystem(scope, systemId)
  const site = await findSite(scope, whole.system.siteId)
  const sheetId = whole.system.equipmentSheetId
  const sheet = sheetId === null ? null : await findSheetIfAny(scope, sheetId)
  const { criteria } = await findPolicy(scope)
  const used = await listToolsUsedAt(scope, systemId)
  const active = (await listActiveInstruments(scope)).filter((row) => used.includes(row.id))
  return {
    whole,
    address: site.address,
    sheet: sheet && { id: sheet.id, name: `${sheet.maker} ${sheet.model}` },
    tools: handFirst(active, used).map((row) => ({
      id: row.id,
      kind: row.kind,
      name: row.name,
      serial: row.serial,
      confirmed: judgeInstrument(
        asInstrument(row, row.calibrations),
        [{ at: now, evidenceId: '', triedOnTheDay: false }],
        criteria,
      ).confirmed,
    })),
  }
}

const modelOf = (whole: WholeSystem, unitId: string | null) =>
  standingUnits(whole).find((unit) => unit.id === unitId) ?? null

function linesOf({ whole }: SetUp) {
  return whole.lineSets.map((line) => {
    const [from, to] = [modelOf(whole, line.fromUnitId), modelOf(whole, line.toUnitId)]
    return {
      fromLineSetId: line.id,
      name: line.name,
      liquidOdM: line.liquidOdM,
      gasOdM: line.gasOdM,
      jointKind: line.jointKind,
      from: from?.role === 'branch' ? from.name : null,
      to: to?.role === 'branch' ? to.name : null,
      indoorModel: to?.role === 'indoor' ? to.model : null,
    }
  })
}

const branchesOf = ({ whole }: SetUp) => standingUnits(whole).filter((unit) => unit.role === 'branch')
const outdoorOf = ({ whole }: SetUp) =>
  standingUnits(whole).findLast((unit) => unit.role === 'outdoor') ?? null

const setUpJson = (setUp: SetUp) => ({
  fromSystemId: setUp.whole.system.id,
  refrigerant: setUp.whole.system.refrigerant,
  equipmentSheetId: setUp.sheet?.id ?? null,
  outdoorModel: outdoorOf(setUp)?.model ?? null,
  branchUnits: branchesOf(setUp).map(({ id, name, model }) => ({ fromUnitId: id, name, model })),
  lineSets: linesOf(setUp).map(({ liquidOdM, gasOdM, ...line }) => ({
    ...line,
    liquidOd: { value: Number((liquidOdM * 1000).toFixed(4)), unit: 'mm' },
    gasOd: { value: Number((gasOdM * 1000).toFixed(4)), unit: 'mm' },
  })),
  tools: setUp.tools,
})

async function copyPage(ask: Ask, setUp: SetUp, form?: FormState) {
  const job = await findJob(ask.scope, ask.params.jobId ?? '')
  const site = await findSite(ask.scope, job.siteId)
  const { system } = setUp.whole
  return CopySetUpPage({
    shell: shellOf(ask.actor, '/jobs'),
    jobId: job.id,
    site: `${site.customerName}, ${site.address}`,
    freshId: form?.values.id ?? newId(),
    earlier: { id: system.id, name: system.name, address: setUp.address, refrigerant: system.refrigerant },
    sheet: setUp.sheet,
    outdoorModel: outdoorOf(setUp)?.model ?? null,
    branches: branchesOf(setUp).map(({ id, name, model }) => ({ id, name, model })),
    lineSets: linesOf(setUp).map((line) => ({
      id: line.fromLineSetId,
      freshId: newId(),
      name: line.name,
      words: [
        say.jobs.liquidGas(tubeName(line.liquidOdM), tubeName(line.gasOdM)),
        line.jointKind === 'flare' ? say.jobs.flaresWord : say.jobs.joints2(coded(line.jointKind)),
        line.from === null ? null : say.jobs.from(line.from),
        line.to === null ? null : say.jobs.to3(line.to),
      ]
        .filter(Boolean)
        .join(', '),
      indoorModel: line.indoorModel,
    })),
    tools: setUp.tools,
    form,
  })
}
