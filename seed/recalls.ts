// What happened when the spare wrench was found low? The recall was opened the next day, and is half settled.

import { decideRecall } from '../server/commands/recalls/decide-recall.ts'
import { openRecall } from '../server/commands/recalls/open-recall.ts'
import { findUnderRecall } from '../server/commands/recalls/under-recall.ts'
import { scopeOf } from '../server/store/store.ts'
import { MINUTE } from './hands.ts'
import { type AtWork, memberOf, momentOf } from './tell.ts'

const OPENED = { daysAgo: 11, hour: 9 }
const SETTLED = { daysAgo: 10, hour: 16 }

/** Yields as `tellJob` does. */
export async function* tellRecall(company: AtWork): AsyncGenerator<number, void, void> {
  const { run, clock, now, machinery } = company
  const marek = memberOf(company, 'marek')
  const instrumentId = company.shared.torqueWrench
  if (instrumentId === undefined) throw new Error('The company has no spare wrench.')
  yield momentOf(OPENED, now)
  const recall = await run(marek, openRecall, { instrumentId })

  yield momentOf(SETTLED, now)
  const scope = scopeOf(machinery.store.reader(), marek.companyId)
  const resting = (await findUnderRecall(scope, instrumentId))?.records ?? []
  const failing = resting.filter(({ rejudged }) => rejudged.judgement === 'fails')
  const [first] = failing
  // A story told without those years has nothing to settle.
  if (!first) return
  await run(marek, decideRecall, {
    recallId: recall.id,
    evidenceIds: failing
      .filter(({ where }) => where.jobId === first.where.jobId)
      .map(({ evidenceId }) => evidenceId),
    disposition: 'put-right',
    note: 'Called in on the way: torqued again with wrench 1 and checked for leaks, none found.',
  })
  clock.pass(10 * MINUTE)
}
