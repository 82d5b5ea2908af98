// Who has this job in hand, and who may it go to?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
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
      <h2>{say.jobs.inHand}</h2>
      <p>
        {isMine
          ? say.jobs.youHaveThisJob
          : name === null
            ? say.jobs.nobodyHasThisJob
            : say.jobs.hasThisJob(name)}
      </p>
      {people.length === 0 ? null : (
        <details open={form === undefined ? undefined : true}>
          <summary>{name === null ? say.jobs.takeItOrGive : say.jobs.handItOver}</summary>
          <form method="post" action={action}>
            <input type="hidden" name="id" value={form?.values.id ?? freshId} />
            <OtherErrors form={form} fields={['to', 'note']} />
            <SelectField name="to" label={say.jobs.to} options={people} form={form} />
            <AreaField
              name="note"
              label={say.jobs.whatTheyShouldKnow}
              hint={say.jobs.whatIsDoneWhat}
              required={false}
              maxlength={2000}
              form={form}
            />
            <Button>{say.jobs.handOver}</Button>
          </form>
        </details>
      )}
    </section>
  )
}
