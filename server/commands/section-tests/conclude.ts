// Ends a test of a section: the readings are judged, and the judgement is kept with the policy it was made by.

import { z } from 'zod'
import { judgeEvacuationTest } from '../../rules/judge-evacuation.ts'
import { judgePressureTest } from '../../rules/judge-pressure-test.ts'
import { listInstrumentsById } from '../../store/queries/instruments-used.ts'
import { loadForJudging } from '../../store/queries/judging.ts'
import {
  findEvacuation,
  findPressureTest,
  lockSectionTest,
  type StoredEvacuation,
  type StoredPressureTest,
} from '../../store/queries/section-tests.ts'
import { appendFact } from '../../store/record.ts'
import type { Scope } from '../../store/store.ts'
import type { PressureVerdict, VacuumVerdict } from '../../vocabulary.ts'
import { type Context, defineCommand } from '../command.ts'
import { id, ownId } from '../fields.ts'
import { findOpenJob } from '../jobs/job-turns.ts'
import { provenanceOf, whoAndWhen } from '../provenance.ts'
import { instrumentsOf } from './instruments-of.ts'
import { assertRunning } from './set-up.ts'

export const concludePressureTest = defineCommand({
  name: 'conclude-pressure-test',
  summary: 'End a pressure test: its readings are judged.',
  capability: 'record-work',
  input: z.strictObject({ id: ownId, pressureTestId: id, ...whoAndWhen }),
  async handle(scope, input, context): Promise<StoredPressureTest> {
    await lockSectionTest(scope, input.pressureTestId)
    const stored = await findPressureTest(scope, input.pressureTestId)
    await findOpenJob(scope, stored.test.jobId)
    assertRunning(stored)
    const { system, policy } = await loadForJudging(scope, stored.systemId)
    const judgement = judgePressureTest(stored.test, system, {
      policy: policy.criteria,
      instruments: await listInstrumentsById(scope, instrumentsOf(stored.test)),
    })
    await conclude(scope, input, context, stored, 'pressure-test-concluded', policy.version, judgement)
    return findPressureTest(scope, stored.test.id)
  },
})

export const concludeEvacuation = defineCommand({
  name: 'conclude-evacuation',
  summary: 'End an evacuation: its decay is judged.',
  capability: 'record-work',
  input: z.strictObject({ id: ownId, evacuationId: id, ...whoAndWhen }),
  async handle(scope, input, context): Promise<StoredEvacuation> {
    await lockSectionTest(scope, input.evacuationId)
    const stored = await findEvacuation(scope, input.evacuationId)
    await findOpenJob(scope, stored.test.jobId)
    assertRunning(stored)
    const { system, policy } = await loadForJudging(scope, stored.systemId)
    const judgement = judgeEvacuationTest(stored.test, system, {
      policy: policy.criteria,
      instruments: await listInstrumentsById(scope, instrumentsOf(stored.test)),
    })
    await conclude(scope, input, context, stored, 'evacuation-concluded', policy.version, judgement)
    return findEvacuation(scope, stored.test.id)
  },
})

/** As it will be read back: plain JSON. The curves that were not chosen are kept without their drawing. */
function asKept(judgement: object): Record<string, unknown> {
  return JSON.parse(
    JSON.stringify(judgement, (name, value) =>
      name === 'fits' && Array.isArray(value)
        ? value.map((fit: Record<string, unknown>) => ({ ...fit, points: [] }))
        : value,
    ),
  ) as Record<string, unknown>
}

/** Two conclusions at once meet on the unique key. */
async function conclude(
  scope: Scope,
  input: { id?: string | undefined } & Parameters<typeof provenanceOf>[1],
  context: Context,
  stored: { systemId: string; test: { id: string; jobId: string } },
  kind: string,
  policyVersion: number,
  judgement: { verdict: PressureVerdict | VacuumVerdict },
): Promise<void> {
  const seal = await appendFact(scope, 'sectionConclusions', {
    companyId: scope.companyId,
    id: input.id ?? context.newId(),
    testId: stored.test.id,
    verdict: judgement.verdict,
    result: asKept(judgement),
    policyVersion,
    ...(await provenanceOf(scope, input, context)),
  })
  context.record({
    chainId: stored.systemId,
    kind,
    subjectId: stored.test.id,
    jobId: stored.test.jobId,
    facts: [seal],
    body: { verdict: judgement.verdict, policyVersion },
  })
}
