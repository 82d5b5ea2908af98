// How often was it used since its last check, of how often it may be, and what was counted by hand?

import type { JSX } from 'preact'
import type { UseCount } from '../../server/store/queries/instrument-uses.ts'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'
import { CheckField, type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { When } from '../parts/when.tsx'

export function Uses({ uses }: { uses: UseCount }): JSX.Element {
  return (
    <>
      {say.instrumentCare.usesOf(uses.total, uses.limit)}
      {uses.reachedAt === null ? null : (
        <>, {say.instrumentCare.reachedOn(<When at={uses.reachedAt} show="day" />)}</>
      )}
    </>
  )
}

/** Of what no record tells: nothing here is needed for joints that are in the record. */
export function CountUses(props: {
  instrumentId: string
  freshId: string
  form?: FormState | undefined
}): JSX.Element {
  return (
    <details open={(props.form?.errors.length ?? 0) > 0}>
      <summary>{say.instrumentCare.countUsesByHand}</summary>
      <form method="post" action={`/instruments/${props.instrumentId}/uses`}>
        <input type="hidden" name="id" value={props.freshId} />
        <OtherErrors form={props.form} fields={['uses#', 'note', 'takenBack?']} />
        <TextField
          name="uses#"
          label={say.instrumentCare.usesOutside}
          hint={say.instrumentCare.recordCountsItself}
          inputmode="numeric"
          form={props.form}
        />
        <TextField
          name="note"
          label={say.instrumentCare.whatFor}
          required={false}
          maxlength={200}
          autocomplete="off"
          form={props.form}
        />
        <CheckField name="takenBack?" label={say.instrumentCare.takeThemBack} form={props.form} />
        <Button kind="other">{say.instrumentCare.countThem}</Button>
      </form>
    </details>
  )
}
