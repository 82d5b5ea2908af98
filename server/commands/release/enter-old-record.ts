// What was not met on jobs from before there was a register? Judged entry by entry in their order, and entered.

import { newId } from '../../ids.ts'
import { dossierAsOf } from '../../rules/as-of.ts'
import { askedAfter } from '../../rules/register.ts'
import { loadDossier } from '../../store/queries/dossier.ts'
import { grouped } from '../../store/queries/grouped.ts'
import { hasNonconformity, listJobIds, listMomentsOfJob } from '../../store/queries/register.ts'
import { appendEntry } from '../../store/record.ts'
import { type Store, scopeOf } from '../../store/store.ts'
import { judgeForRegister } from './keep-register.ts'

/** Each job in a transaction of its own, so that the service goes on meanwhile. Answers how many jobs were looked at. */
export async function enterOldRecord(
  store: Store,
  companyId: string,
  now: number,
): Promise<{ jobs: number; entered: number }> {
  let entered = 0
  const jobIds = await listJobIds(scopeOf(store.reader(), companyId))
  for (const jobId of jobIds)
    entered += await store.transaction(async (session) => {
      const scope = scopeOf(session, companyId)
      if (await hasNonconformity(scope, jobId)) return 0
      const whole = await loadDossier(scope, jobId, now)
      let found = 0
      const systemIds = whole.systems.map(({ id }) => id)
      // What was entered at the same moment is judged together, after the last of it.
      const moments = [
        ...grouped(await listMomentsOfJob(scope, jobId, systemIds), ({ at }) => String(at)).values(),
      ]
      for (const together of moments) {
        const moment = together.at(-1)
        if (!moment) continue
        const drafts = await judgeForRegister(scope, dossierAsOf(whole, moment.at), {
          now: moment.at,
          newId,
          memberId: moment.memberId,
          asked: together.flatMap(({ kind }) => askedAfter(kind)),
          entryId: moment.id,
        })
        found += drafts.filter(({ kind }) => kind === 'nonconformity-found').length
        // Who found it stands in the row; the entry says that the server's console brought it, and when.
        for (const draft of drafts) await appendEntry(scope, draft, { now, deviceAt: null, memberId: null })
      }
      return found
    })
  return { jobs: jobIds.length, entered }
}
