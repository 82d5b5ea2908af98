// Who has this job in hand, and who may it go to?

import type { JSX } from 'preact'
import { Button } from '../parts/button.tsx'
import { AreaField, type FormState, type Option, OtherErrors, SelectField } from '../parts/field.tsx'

export interface InHandProps {
  name: string | null
  /** It is the reader's own. */
  isMine: boolean
  action: string
  freshId: string
  /** Whom the reader may hand it to; nobody where it is not theirs to give. */
  people: readonly Option[]
  form?: FormState | undefined
}

export function InHand({ name, isMine, action, freshId, people, form }: InHandProps): JSX.Element {
  return (
    <section class="sheet" id="in-hand">
      <h2>In hand</h2>
      <p>
        {isMine ? 'You have this job.' : name === null ? 'Nobody has this job yet.' : `${name} has this job.`}
      </p>
      {people.length === 0 ? null : (
        <details open={form === undefined ? undefined : true}>
          <summary>{name === null ? 'Take it or give it' : 'Hand it over'}</summary>
          <form method="post" action={action}>
            <input type="hidden" name="id" value={form?.values.id ?? freshId} />
            <OtherErrors form={form} fields={['to', 'note']} />
            <SelectField name="to" label="To" options={people} form={form} />
            <AreaField
              name="note"
              label="What they should know"
              hint="What is done, what is left, where the key is."
              required={false}
              maxlength={2000}
              form={form}
            />
            <Button>Hand over</Button>
          </form>
        </details>
      )}
    </section>
  )
}
