// What is recorded on a page, one by one: each with its versions, and the form that corrects the one asked for?

import type { ComponentChildren } from 'preact'
import { h } from 'preact'
import { CorrectionForm, type RecordedFact } from '../../views/corrections/form.tsx'
import type { FormState } from '../../views/parts/field.tsx'
import { formatWhen } from '../../views/parts/when.tsx'
import { newId } from '../ids.ts'
import { type Corrected, type CorrectedFact, listCorrectedFacts } from '../store/queries/corrections.ts'
import { listEntriesAbout } from '../store/queries/entries.ts'
import { correctedFact, PREFIX } from './correction-form.ts'
import { correctionNotes, membersInWords, replacedBy } from './correction-notes.ts'
import type { Ask } from './resource.ts'
import { mayRecordOn } from './section-tests.ts'

export interface RecordedOn<Fact extends { id: string }> {
  table: CorrectedFact['table']
  /** Those that count, with the job of each. */
  facts: readonly { jobId: string; fact: Fact }[]
  /** What the entries of a fact are about, where that is not the fact that was recorded first. */
  subjectId?: string
  /** In one line, and when it was. */
  words(fact: Fact): string
  at(fact: Fact): number
  /** The page's own address, and how a correction finds back to it: `pressure-test:…`. */
  address: string
  page: string
  /** The fields of its form as it was recorded, by the names that the form knows. */
  values(fact: Fact): Record<string, string | null | undefined>
  kept?(fact: Fact): { name: string; value: string }[]
  fields(form: FormState, fact: Fact): ComponentChildren
  /** As a correction came back. */
  came: FormState | undefined
}

export async function recordedFacts<Fact extends { id: string }>(
  ask: Ask,
  on: RecordedOn<Fact>,
): Promise<RecordedFact[]> {
  const jobIds = [...new Set(on.facts.map(({ jobId }) => jobId))]
  const all = await listCorrectedFacts(ask.scope, jobIds)
  // Both versions of a correction come from the table that was asked for.
  const corrections = all.filter(({ table }) => table === on.table) as unknown as Corrected<Fact>[]
  const mayRecord = new Map<string, boolean>()
  for (const jobId of jobIds) mayRecord.set(jobId, await mayRecordOn(ask, jobId))
  const member = corrections.length > 0 ? await membersInWords(ask.scope) : () => ''
  const asked = correctedFact(on.came) ?? ask.query.correct
  const facts: RecordedFact[] = []
  for (const { jobId, fact } of on.facts) {
    const notes = correctionNotes(
      fact.id,
      corrections,
      (one) => `${on.words(one)}, ${formatWhen({ at: on.at(one) })}`,
      member,
    )
    const correctable = mayRecord.get(jobId) === true && notes.every((note) => note.state !== 'waiting')
    facts.push({
      id: fact.id,
      words: on.words(fact),
      at: on.at(fact),
      notes,
      ...(correctable
        ? {
            correctHref: `${on.address}${on.address.includes('?') ? '&' : '?'}correct=${fact.id}#fact-${fact.id}`,
          }
        : {}),
      ...(correctable && asked === fact.id ? { form: await formFor(ask, on, fact, jobId, corrections) } : {}),
    })
  }
  return facts
}

async function formFor<Fact extends { id: string }>(
  ask: Ask,
  on: RecordedOn<Fact>,
  fact: Fact,
  jobId: string,
  corrections: readonly Corrected<Fact>[],
): Promise<ComponentChildren> {
  const first = replacedBy(fact.id, corrections)[0]?.factId ?? fact.id
  const entries = await listEntriesAbout(ask.scope, on.subjectId ?? first)
  const entry = entries.find(({ facts }) => facts.some(({ id }) => id === fact.id))
  if (!entry) return undefined
  const came = correctedFact(on.came) === fact.id ? on.came : undefined
  const start = Object.entries(on.values(fact)).flatMap(([name, value]) =>
    value == null ? [] : [[PREFIX + name, value]],
  )
  const form: FormState = {
    values: came?.values ?? Object.fromEntries(start),
    errors: came?.errors ?? [],
    scope: fact.id,
    prefix: PREFIX,
  }
  return h(CorrectionForm, {
    freshId: newId(),
    entryId: entry.id,
    factId: fact.id,
    at: on.page,
    jobId,
    kept: on.kept?.(fact) ?? [],
    form: came,
    children: on.fields(form, fact),
  })
}

/** A quantity as it was typed, under the names of its two fields. */
export function typedValues(
  name: string,
  typed: { value: number; unit: string } | undefined,
): Record<string, string> {
  return typed === undefined ? {} : { [`${name}.value`]: String(typed.value), [`${name}.unit`]: typed.unit }
}
