// What stands beside something recorded: the versions it replaced, and what waits for a manager?

import type { CorrectionNote } from '../../views/corrections/form.tsx'
import type { Corrected } from '../store/queries/corrections.ts'
import { listCrewPeople } from '../store/queries/dossier.ts'
import type { Scope } from '../store/store.ts'
import { instant } from './json.ts'

/** "Sam Okafor · 2026-03-04 15:10 UTC" */
export type MemberWords = (memberId: string, at: number) => string

export async function membersInWords(scope: Scope): Promise<MemberWords> {
  const crew = await listCrewPeople(scope)
  return (memberId, at) =>
    `${crew.find((person) => person.memberId === memberId)?.name ?? 'somebody'} · ${instant(at).slice(0, 16).replace('T', ' ')} UTC`
}

/** The notes of the version that counts, oldest first. */
export function correctionNotes<Fact>(
  factId: string,
  corrections: readonly Corrected<Fact>[],
  words: (fact: Fact) => string,
  member: MemberWords,
): CorrectionNote[] {
  const noteOf = (correction: Corrected<Fact>, version: Fact): CorrectionNote => ({
    id: correction.id,
    state: correction.state,
    words: words(version),
    reason: correction.reason,
    who: member(correction.requestedBy, correction.requestedAt),
  })
  const others = corrections.filter((one) => one.factId === factId && one.state !== 'accepted')
  return [
    ...replacedBy(factId, corrections).map((one) => noteOf(one, one.original)),
    ...others.map((one) => noteOf(one, one.replacement)),
  ]
}

/** The corrections by which a version came about, oldest first. */
export function replacedBy<Fact>(factId: string, corrections: readonly Corrected<Fact>[]): Corrected<Fact>[] {
  const last = corrections.find((one) => one.replacementId === factId && one.state === 'accepted')
  return last ? [...replacedBy(last.factId, corrections), last] : []
}
