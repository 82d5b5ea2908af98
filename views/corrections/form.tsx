// How is something recorded corrected, and what did it say before?

import type { ComponentChildren, JSX } from 'preact'
import type { CorrectionState } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { AreaField, type FormState } from '../parts/field.tsx'
import { When } from '../parts/when.tsx'

export interface CorrectionFormProps {
  freshId: string
  entryId: string
  factId: string
  /** The page it stands on, to come back to: `joint:…`, `pressure-test:…`. */
  at: string
  jobId: string
  /** The form it was recorded with, filled in as it was. */
  children: ComponentChildren
  /** What was recorded and has no control in the form: it goes along as it is. */
  kept: readonly { name: string; value: string }[]
  /** As it came back, when it was refused. */
  form?: FormState | undefined
}

export function CorrectionForm(props: CorrectionFormProps): JSX.Element {
  const { factId, form } = props
  return (
    <form method="post" action="/corrections">
      <input type="hidden" name="id" value={form?.values.id ?? props.freshId} />
      <input type="hidden" name="entryId" value={props.entryId} />
      <input type="hidden" name="factId" value={factId} />
      <input type="hidden" name="_at" value={props.at} />
      <input type="hidden" name="_job" value={props.jobId} />
      {props.kept.map(({ name, value }) => (
        <input key={name} type="hidden" name={`replacement.${name}`} value={value} />
      ))}
      <p class="hint">{say.corrections.whatWasRecordedStays}</p>
      <AreaField
        name="reason"
        label={say.corrections.whyItIsCorrected}
        rows={2}
        form={{ values: form?.values ?? {}, errors: form?.errors ?? [], scope: factId }}
      />
      {props.children}
    </form>
  )
}

export interface CorrectionNote {
  id: string
  state: CorrectionState
  /** What was recorded, or what is proposed, in the words of its line. */
  words: string
  reason: string
  who: string
}

/** The versions beside the one that counts: what it replaced is struck through, what waits says so. */
export function CorrectionNotes({ notes }: { notes: readonly CorrectionNote[] }): JSX.Element {
  return (
    <ul class="soft">
      {notes.map((note) => (
        <li key={note.id}>
          {note.state === 'waiting' ? (
            <>
              <b>{say.corrections.waitsForAManager}</b> {note.words}
            </>
          ) : (
            <>
              <s>{note.words}</s>{' '}
              {note.state === 'accepted' ? say.corrections.corrected : say.corrections.correctionRefused}
            </>
          )}{' '}
          “{note.reason}” ({note.who})
        </li>
      ))}
    </ul>
  )
}

export interface RecordedFact {
  id: string
  /** In one line: "Holding, 4.16 MPa, 20 °C". */
  words: string
  at: number
  /** Where its form is; left out where it can't be corrected here and now. */
  correctHref?: string | undefined
  notes: readonly CorrectionNote[]
  /** The form itself, where this is the one that is being corrected. */
  form?: ComponentChildren
}

/** What is recorded, one by one, each with its versions and the way to correct it. */
export function RecordedFacts(props: {
  /** "Readings, one by one" */
  label: string
  facts: readonly RecordedFact[]
}): JSX.Element | null {
  const { facts } = props
  const isOfUse = facts.some((fact) => fact.correctHref !== undefined || fact.notes.length > 0)
  if (!isOfUse) return null
  const stands = facts.some((fact) => fact.form !== undefined || fact.notes.length > 0)
  const waiting = facts.flatMap(({ notes }) => notes.filter(({ state }) => state === 'waiting')).length
  return (
    <details id="recorded" open={stands}>
      <summary>
        <span>
          {props.label} ({facts.length})
          {waiting === 0
            ? null
            : say.corrections.correctionForAManager(
                waiting,
                waiting === 1 ? say.corrections.waits : say.corrections.sWait,
              )}
        </span>
      </summary>
      <ul class="rows">
        {facts.map((fact) => (
          <li key={fact.id} id={`fact-${fact.id}`}>
            {fact.words}, <When at={fact.at} />{' '}
            {fact.correctHref === undefined || fact.form !== undefined ? null : (
              <a href={fact.correctHref}>{say.corrections.correctThis}</a>
            )}
            {fact.notes.length === 0 ? null : <CorrectionNotes notes={fact.notes} />}
            {fact.form}
          </li>
        ))}
      </ul>
    </details>
  )
}
