// How is a recorded step corrected, and what did it say before?

import type { JSX } from 'preact'
import type { CorrectionState } from '../../server/vocabulary.ts'
import { AreaField, type FormState } from '../parts/field.tsx'
import { StepFields, type StepFormProps } from './step-forms.tsx'

export interface CorrectionFormProps {
  freshId: string
  entryId: string
  factId: string
  jointId: string
  jobId: string
  /** The step's own form, filled in as it was recorded. */
  fields: StepFormProps
  /** What was recorded and has no control in the form: it goes along as it is. */
  kept: readonly { name: string; value: string }[]
  /** As it came back, when it was refused. */
  form?: FormState | undefined
}

export function CorrectionForm(props: CorrectionFormProps): JSX.Element {
  const { factId, form } = props
  return (
    <details open={form === undefined ? undefined : true}>
      <summary>Correct this</summary>
      <form method="post" action="/corrections">
        <input type="hidden" name="id" value={form?.values.id ?? props.freshId} />
        <input type="hidden" name="entryId" value={props.entryId} />
        <input type="hidden" name="factId" value={factId} />
        <input type="hidden" name="_joint" value={props.jointId} />
        <input type="hidden" name="_job" value={props.jobId} />
        {props.kept.map(({ name, value }) => (
          <input key={name} type="hidden" name={`replacement.${name}`} value={value} />
        ))}
        <p class="hint">
          What was recorded stays in the history. What would change an outcome waits for a manager, save a
          typing slip that you mend within ten minutes.
        </p>
        <AreaField
          name="reason"
          label="Why it is corrected"
          rows={2}
          form={{ values: form?.values ?? {}, errors: form?.errors ?? [], scope: factId }}
        />
        <StepFields {...props.fields} />
      </form>
    </details>
  )
}

export interface CorrectionNote {
  id: string
  state: CorrectionState
  /** What was recorded, or what is proposed, in the words of the step's line. */
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
              <b>Waits for a manager:</b> {note.words}
            </>
          ) : (
            <>
              <s>{note.words}</s> {note.state === 'accepted' ? 'Corrected' : 'Correction refused'}
            </>
          )}{' '}
          “{note.reason}” ({note.who})
        </li>
      ))}
    </ul>
  )
}
