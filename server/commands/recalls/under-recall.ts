// Which records rest on an instrument that was found off, and what becomes of each with its error taken out?

import type { InspectionBody, LeakCheckBody, TorqueBody } from '../../rules/dossier.ts'
import {
  CANNOT_REJUDGE,
  type RecallSpan,
  type Rejudged,
  recallSpans,
  rejudgeCharge,
  rejudgeEvacuation,
  rejudgeFlare,
  rejudgeLeakCheck,
  rejudgePressureTest,
  rejudgeTorque,
} from '../../rules/judge-recall.ts'
import type { Policy } from '../../rules/policy.ts'
import { instrumentIdsIn, loadSystemsAnywhere } from '../../store/queries/dossier.ts'
import { grouped } from '../../store/queries/grouped.ts'
import { findInstrument, type KeptInstrument } from '../../store/queries/instruments.ts'
import { asInstrument, listInstrumentsById } from '../../store/queries/instruments-used.ts'
import { findPolicy } from '../../store/queries/policy.ts'
import {
  listInspections,
  listRestingSteps,
  listRestingTests,
  type RestingPlace,
  type RestingStep,
  type RestingTest,
} from '../../store/queries/recalls.ts'
import { listSheetsById } from '../../store/queries/sheets-used.ts'
import type { Scope } from '../../store/store.ts'
import { RECALL_JUDGEMENTS, type StepKind } from '../../vocabulary.ts'

export interface RecordUnderRecall {
  evidenceId: string
  kind: StepKind | RestingTest['kind']
  performedAt: number
  where: RestingPlace
  rejudged: Rejudged
  /** Null for what covers more than one joint. */
  joint: { id: string; tag: string; place: string } | null
}

export interface UnderRecall {
  instrument: KeptInstrument
  span: RecallSpan
  /** The worst first, then as they were done. */
  records: RecordUnderRecall[]
}

/** Null when no check found the instrument off; `calibrationId` chooses among several, else the newest. */
export async function findUnderRecall(
  scope: Scope,
  instrumentId: string,
  calibrationId?: string,
): Promise<UnderRecall | null> {
  const instrument = await findInstrument(scope, instrumentId)
  const spans = recallSpans(asInstrument(instrument, instrument.calibrations))
  const span = calibrationId ? spans.find(({ found }) => found.id === calibrationId) : spans[0]
  if (!span) return null
  const uses = { from: span.since?.at ?? null, to: span.until }
  const { criteria } = await findPolicy(scope)
  const records = [
    ...(await steps(scope, instrument, span, criteria, await listRestingSteps(scope, instrumentId, uses))),
    ...(await tests(scope, instrument, span, criteria, await listRestingTests(scope, instrumentId, uses))),
  ]
  records.sort((a, b) => a.performedAt - b.performedAt)
  const worstFirst = RECALL_JUDGEMENTS.map((word) =>
    records.filter(({ rejudged }) => rejudged.judgement === word),
  )
  return { instrument, span, records: worstFirst.flat() }
}

async function steps(
  scope: Scope,
  instrument: KeptInstrument,
  span: RecallSpan,
  policy: Policy,
  rows: readonly RestingStep[],
): Promise<RecordUnderRecall[]> {
  const sheets = await listSheetsById(scope, [...new Set(rows.flatMap(({ where }) => where.sheetId ?? []))])
  const instruments = [asInstrument(instrument, instrument.calibrations)]
  const inspections = rows.some(({ kind }) => kind === 'flare')
    ? await listInspections(scope, instrument.id)
    : new Map<string, InspectionBody>()
  // A wrench that clicks says the same of many joints: what is judged alike is judged once.
  const torques = new Map<string, Rejudged | null>()
  const torque = ({ joint, where: { sheetId }, bodyText }: RestingStep): Rejudged | null => {
    const alike = `${joint.kind} ${joint.tubeOdM} ${sheetId} ${bodyText}`
    const known = torques.get(alike)
    if (known !== undefined) return known
    const judging = { policy, sheet: sheets.get(sheetId ?? '') ?? null, instruments }
    const rejudged = rejudgeTorque(joint, JSON.parse(bodyText) as TorqueBody, judging, span)
    torques.set(alike, rejudged)
    return rejudged
  }
  const rejudge = (row: RestingStep): Rejudged | null => {
    if (row.kind === 'torque') return torque(row)
    if (row.kind === 'flare') return rejudgeFlare(inspections.get(row.makeId ?? '') ?? null)
    if (row.kind === 'leak-check') return rejudgeLeakCheck(JSON.parse(row.bodyText) as LeakCheckBody)
    return CANNOT_REJUDGE
  }
  const records: RecordUnderRecall[] = []
  for (const row of rows) {
    const rejudged = rejudge(row)
    if (rejudged === null) continue
    const { id: evidenceId, kind, performedAt, joint, where } = row
    records.push({ evidenceId, kind, performedAt, joint, where, rejudged })
  }
  return records
}

async function tests(
  scope: Scope,
  instrument: KeptInstrument,
  span: RecallSpan,
  policy: Policy,
  rows: readonly RestingTest[],
): Promise<RecordUnderRecall[]> {
  const records: RecordUnderRecall[] = []
  const systems = await loadSystemsAnywhere(scope, [...new Set(rows.map(({ where }) => where.systemId))])
  const instruments = await listInstrumentsById(scope, instrumentIdsIn(systems))
  const onSystem = grouped(rows, ({ where }) => where.systemId)
  for (const system of systems) {
    for (const { id, kind, performedAt, where } of onSystem.get(system.id) ?? []) {
      const tested = { system, policy, instruments, instrumentId: instrument.id }
      const found =
        kind === 'pressure-test'
          ? system.pressureTests.find((test) => test.id === id)
          : kind === 'evacuation'
            ? system.evacuations.find((test) => test.id === id)
            : system.charges.find((charge) => charge.id === id)
      // Not there any more: superseded by a correction.
      if (!found) continue
      const rejudged =
        instrument.kind === 'thermometer'
          ? CANNOT_REJUDGE
          : 'medium' in found
            ? rejudgePressureTest(found, tested, span)
            : 'readings' in found
              ? rejudgeEvacuation(found, tested, span)
              : rejudgeCharge(found, tested, span)
      records.push({ evidenceId: id, kind, performedAt, joint: null, where, rejudged })
    }
  }
  return records
}
