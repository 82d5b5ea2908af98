// What does the company get out as tables? Everything from sites to callbacks, joints with their judged torque.

import type { Readable } from 'node:stream'
import { setImmediate as nextTurn } from 'node:timers/promises'
import { MovingPage, type TableName } from '../../views/moving/index.tsx'
import { may } from '../access/capabilities.ts'
import type { Joint, System, TorqueStep } from '../rules/dossier.ts'
import { judgeTorqueStep } from '../rules/judge-torque.ts'
import { currentMake } from '../rules/scope.ts'
import { listCallbacks } from '../store/queries/callbacks.ts'
import { listPeopleNames } from '../store/queries/certificates.ts'
import { instrumentIdsIn, listCrewPeople, loadSystems } from '../store/queries/dossier.ts'
import {
  listBesideJobs,
  listSystemsToExport,
  listTagsOfJoints,
  listTestsToExport,
  listUsesOfTools,
  type SystemToExport,
} from '../store/queries/export-pages.ts'
import { listInstruments } from '../store/queries/instruments.ts'
import { listInstrumentsById } from '../store/queries/instruments-used.ts'
import { listJobs } from '../store/queries/jobs.ts'
import { listNonconformities } from '../store/queries/nonconformities.ts'
import { findPolicy } from '../store/queries/policy.ts'
import type { Scope } from '../store/store.ts'
import { type CsvForm, type CsvRow, csvOf, csvQuery } from './csv.ts'
import { instant, instantOrNull } from './json.ts'
import { subjectWords } from './nonconformities.ts'
import { API, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { figure, PAGE, pages, type TableOut, when } from './table-out.ts'
import { SHEETS_OUT, SITES_OUT } from './tables-to-bring-in-again.ts'

export const TABLES: Record<TableName, TableOut> = {
  sites: SITES_OUT,
  'equipment-sheets': SHEETS_OUT,
  jobs: {
    summary: 'Every job: where, what, how far, and its last certificate.',
    columns: [
      'job_id',
      'reference',
      'kind',
      'stage',
      'stage_since',
      'opened_at',
      'scheduled_for',
      'assigned_to',
      'site_id',
      'customer',
      'address',
      'town',
      'systems',
      'certificate_code',
      'certificate_revision',
      'certificate_issued_at',
    ],
    rows: async function* (scope) {
      for await (const page of pages((cursor) => listJobs(scope, { limit: PAGE, cursor }))) {
        const beside = await listBesideJobs(
          scope,
          page.map(({ id }) => id),
        )
        for (const job of page) {
          const { systems = 0, certificate = null } = beside.get(job.id) ?? {}
          yield {
            job_id: job.id,
            reference: job.reference,
            kind: job.kind,
            stage: job.stage,
            stage_since: instant(job.stageAt),
            opened_at: instant(job.openedAt),
            scheduled_for: instantOrNull(job.scheduledFor),
            assigned_to: job.assignedName,
            site_id: job.siteId,
            customer: job.customerName,
            address: job.address,
            town: job.town,
            systems,
            certificate_code: certificate?.code,
            certificate_revision: certificate?.revision,
            certificate_issued_at: when(certificate?.issuedAt),
          }
        }
      }
    },
  },
  joints: {
    summary: 'Every joint with its current making, and its torque as judged by the criteria in force now.',
    columns: [
      'joint_id',
      'tag',
      'system_id',
      'system',
      'customer',
      'address',
      'town',
      'line_set',
      'place',
      'line',
      'tube_od_mm',
      'kind',
      'origin',
      'indoors',
      'retired_at',
      'makings',
      'job_id',
      'made_at',
      'made_by',
      'flare_method',
      'flaring_tool_serial',
      'torque_reading',
      'torque_reading_unit',
      'torque_at_nut_nm',
      'torque_uncertainty_nm',
      'range_low_nm',
      'range_high_nm',
      'range_source',
      'decision_rule',
      'torque_verdict',
      'wrench_serial',
      'torqued_at',
      'torqued_by',
      'leak_check_method',
      'leak_check_result',
      'leak_checked_at',
    ],
    rows: async function* (scope) {
      for await (const seen of seenSystems(scope)) {
        for (const joint of seen.system.joints) {
          const make = currentMake(joint)
          const torque = make?.steps.findLast((step) => step.kind === 'torque')
          const flare = make?.steps.findLast((step) => step.kind === 'flare')
          const check = joint.leakChecks.at(-1)
          yield {
            ...placeOf(seen, joint),
            retired_at: when(joint.retiredAt),
            makings: joint.makes.length,
            job_id: make?.jobId,
            made_at: when(make?.performedAt),
            made_by: make && seen.nameOf(make.performedBy),
            flare_method: flare?.body.method,
            flaring_tool_serial: flare && seen.serialOf(flare.body.instrumentId),
            ...torqueCells(seen, joint, torque),
            leak_check_method: check?.body.method,
            leak_check_result: check?.body.result,
            leak_checked_at: when(check?.performedAt),
          }
        }
      }
    },
  },
  torques: {
    summary:
      'Every torque reading of every making, corrections applied, as judged by the criteria in force now.',
    columns: [
      'torque_id',
      'joint_id',
      'tag',
      'system_id',
      'system',
      'customer',
      'address',
      'town',
      'line_set',
      'place',
      'line',
      'tube_od_mm',
      'kind',
      'origin',
      'indoors',
      'making',
      'making_is_current',
      'job_id',
      'indication',
      'torque_reading',
      'torque_reading_unit',
      'torque_at_nut_nm',
      'torque_uncertainty_nm',
      'range_low_nm',
      'range_high_nm',
      'range_source',
      'decision_rule',
      'torque_verdict',
      'wrench_serial',
      'torqued_at',
      'torqued_by',
      'recorded_at',
    ],
    rows: async function* (scope) {
      for await (const seen of seenSystems(scope)) {
        for (const joint of seen.system.joints) {
          for (const make of joint.makes) {
            for (const step of make.steps) {
              if (step.kind !== 'torque') continue
              yield {
                torque_id: step.id,
                ...placeOf(seen, joint),
                making: make.number,
                making_is_current: make.id === currentMake(joint)?.id,
                job_id: step.jobId,
                indication: step.body.indication,
                ...torqueCells(seen, joint, step),
                recorded_at: instant(step.recordedAt),
              }
            }
          }
        }
      }
    },
  },
  tests: {
    summary: 'Every pressure test and evacuation, with its verdict as it was given.',
    columns: [
      'test_id',
      'kind',
      'system_id',
      'system',
      'job_id',
      'medium',
      'gauge',
      'gauge_serial',
      'begun_at',
      'performed_by',
      'readings',
      'first_reading_at',
      'last_reading_at',
      'first_pressure_pa',
      'last_pressure_pa',
      'pressure_is',
      'verdict',
      'concluded_at',
      'change_pa',
      'change_uncertainty_pa',
      'lowest_pressure_pa',
      'rise_in_hold_pa',
      'leak_rate_pa_m3_per_s',
      'smallest_seen_leak_pa_m3_per_s',
      'policy_version',
      'repeat_of',
    ],
    rows: async function* (scope) {
      const people = await namesOfCrew(scope)
      for await (const page of byId(
        (after) => listTestsToExport(scope, after, PAGE),
        ({ test }) => test.id,
      )) {
        for (const { test, conclusion, readings, ...beside } of page) {
          const result = conclusion?.result ?? {}
          const number = (name: string) => (typeof result[name] === 'number' ? figure(result[name]) : null)
          const isPressure = test.kind === 'pressure'
          yield {
            test_id: test.id,
            kind: test.kind,
            system_id: test.systemId,
            system: beside.systemName,
            job_id: test.jobId,
            medium: 'medium' in test.setUp ? test.setUp.medium : null,
            gauge: beside.gaugeName,
            gauge_serial: beside.gaugeSerial,
            begun_at: instant(test.performedAt),
            performed_by: people.get(test.performedBy),
            readings: readings.length,
            first_reading_at: when(readings[0]?.at),
            last_reading_at: when(readings.at(-1)?.at),
            first_pressure_pa: figure(readings[0]?.pressurePa),
            last_pressure_pa: figure(readings.at(-1)?.pressurePa),
            pressure_is: isPressure ? 'gauge' : 'absolute',
            verdict: conclusion?.verdict,
            concluded_at: when(conclusion?.performedAt),
            change_pa: number('changePa'),
            change_uncertainty_pa: number('changeUncertaintyPa'),
            lowest_pressure_pa: number('lowestPressurePa'),
            rise_in_hold_pa: number('riseInHoldPa'),
            leak_rate_pa_m3_per_s: number('leakRatePaM3PerS'),
            smallest_seen_leak_pa_m3_per_s: number('smallestSeenLeakPaM3PerS'),
            policy_version: conclusion?.policyVersion,
            repeat_of: test.repeatOf,
          }
        }
      }
    },
  },
  nonconformities: {
    summary: 'Every requirement that was not met when a job was judged, and what became of it.',
    columns: [
      'nonconformity_id',
      'job_id',
      'job_reference',
      'customer',
      'address',
      'requirement',
      'subject_kind',
      'subject_id',
      'subject',
      'outcome',
      'reason',
      'found_at',
      'found_by',
      'policy_version',
      'state',
      'closed_at',
      'closed_by',
      'closed_policy_version',
      'closed_reason',
      'concession_reason',
      'concession_conditions',
      'conceded_by',
    ],
    rows: async function* (scope) {
      const { members } = await listPeopleNames(scope)
      for await (const page of pages((cursor) => listNonconformities(scope, { limit: PAGE, cursor }))) {
        for (const { disposal, concession, ...one } of page) {
          yield {
            nonconformity_id: one.id,
            job_id: one.jobId,
            job_reference: one.job.reference,
            customer: one.site.customerName,
            address: one.site.address,
            requirement: one.requirement,
            subject_kind: one.subjectKind,
            subject_id: one.subjectId,
            subject: subjectWords(one),
            outcome: one.outcome,
            reason: one.reason,
            found_at: instant(one.foundAt),
            found_by: members.get(one.foundBy),
            policy_version: one.policyVersion,
            state: disposal?.disposition ?? 'open',
            closed_at: when(disposal?.disposedAt),
            closed_by: members.get(disposal?.disposedBy ?? ''),
            closed_policy_version: disposal?.policyVersion,
            closed_reason: disposal?.reason,
            concession_reason: concession?.reason,
            concession_conditions: concession?.conditions,
            conceded_by: members.get(concession?.decidedBy ?? ''),
          }
        }
      }
    },
  },
  instruments: {
    summary: 'The register of instruments, each with its last calibration and how often steps rest on it.',
    columns: [
      'instrument_id',
      'kind',
      'name',
      'serial',
      'in_use',
      'accuracy_percent',
      'accuracy_absolute_si',
      'resolution_si',
      'repeatability_si',
      'full_scale_si',
      'calibration_interval_days',
      'calibrations',
      'last_calibrated_at',
      'last_result',
      'last_basis',
      'last_reference',
      'largest_as_found_error_percent',
      'uses',
      'first_used_at',
      'last_used_at',
    ],
    rows: async function* (scope) {
      const used = await listUsesOfTools(scope)
      for await (const page of pages((cursor) => listInstruments(scope, { limit: PAGE, cursor }))) {
        for (const one of page) {
          const last = one.calibrations.at(-1)
          const errors = (last?.points ?? []).map((point) => point.asFoundErrorPercent)
          const use = used.get(one.id)
          yield {
            instrument_id: one.id,
            kind: one.kind,
            name: one.name,
            serial: one.serial,
            in_use: one.active,
            accuracy_percent: figure(one.accuracyPercent),
            accuracy_absolute_si: figure(one.accuracyAbsolute),
            resolution_si: figure(one.resolution),
            repeatability_si: figure(one.repeatability),
            full_scale_si: figure(one.fullScale),
            calibration_interval_days: one.calibrationIntervalDays,
            calibrations: one.calibrations.length,
            last_calibrated_at: when(last?.at),
            last_result: last?.result,
            last_basis: last?.basis,
            last_reference: last?.reference,
            largest_as_found_error_percent: errors.reduce<number | null>(
              (most, error) => (most === null || Math.abs(error) > Math.abs(most) ? error : most),
              null,
            ),
            uses: use?.uses ?? 0,
            first_used_at: when(use?.firstAt),
            last_used_at: when(use?.lastAt),
          }
        }
      }
    },
  },
  callbacks: {
    summary: 'Every callback; one that found several things has a row for each.',
    columns: [
      'callback_id',
      'system_id',
      'reported_at',
      'symptom',
      'outcome',
      'closed_at',
      'responsibility',
      'finding_id',
      'part',
      'joint_id',
      'joint_tag',
      'where',
      'method',
      'cause',
      'size',
      'refrigerant_recovered_kg',
      'refrigerant_added_kg',
      'labour_h',
      'claim_maker',
      'claim_number',
      'claim_status',
      'claim_amount',
      'repair_jobs',
    ],
    rows: async function* (scope) {
      for await (const page of pages((cursor) => listCallbacks(scope, { limit: PAGE, cursor }))) {
        const tags = await listTagsOfJoints(
          scope,
          page.flatMap(({ findings }) => findings.flatMap(({ jointId }) => jointId ?? [])),
        )
        for (const { findings, detail, repairJobIds, ...one } of page) {
          for (const found of findings.length === 0 ? [null] : findings) {
            yield {
              callback_id: one.id,
              system_id: one.systemId,
              reported_at: instant(one.reportedAt),
              symptom: one.symptom,
              outcome: one.outcome,
              closed_at: instantOrNull(one.closedAt),
              responsibility: detail.responsibility,
              finding_id: found?.id,
              part: found?.part,
              joint_id: found?.jointId,
              joint_tag: tags.get(found?.jointId ?? ''),
              where: found?.place,
              method: found?.method,
              cause: found?.cause,
              size: found?.size,
              refrigerant_recovered_kg: figure(detail.refrigerantRecoveredKg),
              refrigerant_added_kg: figure(detail.refrigerantAddedKg),
              labour_h: detail.labourS === null ? null : figure(detail.labourS / 3600),
              claim_maker: detail.claim?.maker,
              claim_number: detail.claim?.number,
              claim_status: detail.claim?.status,
              claim_amount: detail.claim?.amount,
              repair_jobs: repairJobIds.join(' '),
            }
          }
        }
      }
    },
  },
}

export function exportsResource(resource: Resource): void {
  resource.read({
    path: '/moving-data',
    name: 'moving-data',
    summary: 'Which tables can be taken out.',
    capability: 'move-data',
    load: async () => Object.keys(TABLES) as TableName[],
    json: (tables) => ({
      items: tables.map((table) => ({
        table,
        href: `${API}/exports/${table}.csv`,
        holds: TABLES[table].summary,
        columns: TABLES[table].columns,
      })),
      nextCursor: null,
    }),
    page: (tables, ask) =>
      MovingPage({
        shell: shellOf(ask.actor, '/moving-data'),
        tables,
        mayMoveCompany: may(ask.actor, 'move-company'),
      }),
  })

  for (const [name, table] of Object.entries(TABLES)) {
    resource.read({
      path: `/exports/${name}.csv`,
      name: `${name}-as-csv`,
      summary: table.summary,
      capability: 'move-data',
      query: csvQuery,
      load: async (ask): Promise<Readable> =>
        csvOf(table.columns, table.rows(ask.scope), ask.query as CsvForm),
      file: {
        mediaType: 'text/csv; charset=utf-8',
        make: (content, ask) => ({ content, fileName: `${name}-${instant(ask.now).slice(0, 10)}.csv` }),
      },
    })
  }
}

// ---------------------------------------------------------------- read piece by piece

async function* byId<Item>(
  list: (after: string) => Promise<Item[]>,
  idOf: (item: Item) => string,
): AsyncGenerator<Item[]> {
  for (let after = ''; ; ) {
    const page = await list(after)
    yield page
    const last = page.at(-1)
    if (page.length < PAGE || !last) return
    after = idOf(last)
    await nextTurn()
  }
}

interface SeenSystem {
  row: SystemToExport
  system: System
  policy: Awaited<ReturnType<typeof findPolicy>>['criteria']
  instruments: Awaited<ReturnType<typeof listInstrumentsById>>
  nameOf(crewId: string): string | undefined
  serialOf(instrumentId: string | null): string | undefined
}

async function* seenSystems(scope: Scope): AsyncGenerator<SeenSystem> {
  const policy = (await findPolicy(scope)).criteria
  const people = await namesOfCrew(scope)
  for await (const page of byId(
    (after) => listSystemsToExport(scope, after, PAGE),
    ({ id }) => id,
  )) {
    const rows = new Map(page.map((row) => [row.id, row]))
    for (const siteId of new Set(page.map((row) => row.siteId))) {
      const ids = page.filter((row) => row.siteId === siteId).map(({ id }) => id)
      const systems = await loadSystems(scope, { siteId }, ids)
      const instruments = await listInstrumentsById(scope, [...instrumentIdsIn(systems)])
      const serials = new Map(instruments.map((one) => [one.id, one.serial]))
      for (const system of systems) {
        const row = rows.get(system.id)
        if (!row) continue
        yield {
          row,
          system,
          policy,
          instruments,
          nameOf: (crewId) => people.get(crewId),
          serialOf: (instrumentId) => (instrumentId === null ? undefined : serials.get(instrumentId)),
        }
      }
    }
  }
}

async function namesOfCrew(scope: Scope): Promise<Map<string, string>> {
  return new Map((await listCrewPeople(scope)).map(({ id, name }) => [id, name]))
}

const placeOf = ({ row, system }: SeenSystem, joint: Joint) => ({
  joint_id: joint.id,
  tag: joint.tag,
  system_id: system.id,
  system: system.name,
  customer: row.customerName,
  address: row.address,
  town: row.town,
  line_set: system.lineSets.find(({ id }) => id === joint.lineSetId)?.name,
  place: joint.place,
  line: joint.line,
  tube_od_mm: figure(joint.tubeOdM * 1000),
  kind: joint.kind,
  origin: joint.origin,
  indoors: joint.indoors,
})

function torqueCells(seen: SeenSystem, joint: Joint, step: TorqueStep | undefined): CsvRow {
  if (!step) return {}
  const judged = judgeTorqueStep(joint, step.body, {
    policy: seen.policy,
    sheet: seen.system.sheet,
    instruments: seen.instruments,
  })
  const { reading } =
    (step as TorqueStep & { typed?: Record<string, { value: number; unit: string }> }).typed ?? {}
  return {
    torque_reading: reading?.value,
    torque_reading_unit: reading?.unit,
    torque_at_nut_nm: figure(judged.appliedNm),
    torque_uncertainty_nm: figure(judged.uncertaintyNm),
    range_low_nm: figure(judged.range?.lowNm),
    range_high_nm: figure(judged.range?.highNm),
    range_source: judged.range?.source,
    decision_rule: judged.decisionRule,
    torque_verdict: judged.verdict,
    wrench_serial: seen.serialOf(step.body.instrumentId),
    torqued_at: instant(step.performedAt),
    torqued_by: seen.nameOf(step.performedBy),
  }
}
