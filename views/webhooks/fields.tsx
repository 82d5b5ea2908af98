// What is asked of an address that messages go to?

import type { JSX } from 'preact'
import type { WebhookEvent } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { CheckField, type FormState, fieldErrors, TextField } from '../parts/field.tsx'
import { eventWords } from './state.tsx'

export function WebhookFields(props: {
  events: readonly WebhookEvent[]
  form?: FormState | undefined
  url?: string | undefined
  description?: string | undefined
  /** At the start. */
  ticked: readonly WebhookEvent[]
}): JSX.Element {
  const { form } = props
  const wrong = fieldErrors('events', form)
  return (
    <>
      <TextField
        name="url"
        type="url"
        label={say.webhooks.address}
        hint={say.webhooks.addressHint}
        maxlength={2000}
        autocomplete="off"
        value={props.url}
        required
        form={form}
      />
      <TextField
        name="description"
        label={say.webhooks.whatItIs}
        maxlength={200}
        value={props.description}
        form={form}
      />
      <fieldset class={wrong.length === 0 ? 'field' : 'field field-wrong'}>
        <legend>{say.webhooks.events}</legend>
        {props.events.map((event) => (
          <CheckField
            key={event}
            name={`events.${event}`}
            label={eventWords(event)}
            value={form === undefined && props.ticked.includes(event) ? 'true' : undefined}
            form={form === undefined ? undefined : { ...form, errors: [] }}
          />
        ))}
        {wrong.length === 0 ? null : <p class="message">{wrong.join(' ')}</p>}
      </fieldset>
    </>
  )
}
