// At which pressure was a joint checked, where nobody said? At that of the test that ran over it.

import type { LeakCheckBody, Step } from '../../rules/dossier.ts'
import { liesIn } from '../../rules/staleness.ts'
import type { JointRow } from '../../store/queries/joints.ts'
import { listPressureTests } from '../../store/queries/section-tests.ts'
import type { Scope } from '../../store/store.ts'
import type { Context } from '../command.ts'
import type { StepContent } from './step-inputs.ts'

/**
 * A leak check in nitrogen or tracer without a pressure takes the last reading of the test of its joint that ran then.
 * Anything else stays as it was said, and a check outside any test stays without a pressure.
 */
export async function withRunningPressure<Body extends Step['body']>(
  scope: Scope,
  context: Context,
  row: JointRow,
  given: { kind: Step['kind']; jobId: string; performedAt: number | undefined; content: StepContent<Body> },
): Promise<StepContent<Body>> {
  if (given.kind !== 'leak-check') return given.content
  const body = given.content.body as LeakCheckBody
  if (body.gaugePressurePa !== null || body.medium === 'refrigerant') return given.content
  const at = given.performedAt ?? context.enteredAt
  const tests = (await listPressureTests(scope, [row.systemId])).get(row.systemId) ?? []
  const ran = tests.filter(
    (test) =>
      test.jobId === given.jobId &&
      test.performedAt <= at &&
      (test.concludedAt === null || at <= test.concludedAt) &&
      liesIn(test, row),
  )
  const last = ran.at(-1)?.readings.findLast((reading) => reading.at <= at)
  if (!last) return given.content
  return { ...given.content, body: { ...given.content.body, gaugePressurePa: last.gaugePressurePa } }
}
