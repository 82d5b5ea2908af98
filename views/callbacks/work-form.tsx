// What was done, who answers for it, and how does the claim stand? Kept while the callback is open, as it becomes known.

import type { JSX } from 'preact'
import {
  CLAIM_STATUSES,
  type ClaimStatus,
  RESPONSIBILITIES,
  type Responsibility,
} from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'
import { type FormState, OtherErrors, QuantityField, SelectField, TextField } from '../parts/field.tsx'
import { MASS_UNITS, unitOptions } from '../section-tests/unit-options.ts'
import { claimWords, optionsOf, responsibilityWords } from './words.ts'

export interface TypedQuantity {
  value: number
  unit: string
}

export interface DoneView {
  responsibility: Responsibility | null
  /** As they were typed. */
  recovered: TypedQuantity | null
  added: TypedQuantity | null
  labour: TypedQuantity | null
  parts: readonly { part: string; oldSerial: string | null; newSerial: string | null }[]
  claim: {
    maker: string
    number: string | null
    status: ClaimStatus
    sentAt: number | null
    dueAt: number | null
    amount: string | null
  } | null
}

export interface WorkFormProps {
  action: string
  freshKey: string
  done: DoneView
  form?: FormState | undefined
}

const LABOUR_UNITS = unitOptions('time', ['h', 'min'])
/** Empty rows below those that are filled. */
const MORE_PARTS = 2

export function WorkForm({ action, freshKey, done, form }: WorkFormProps): JSX.Element {
  const own = form?.values._form === 'work' ? form : undefined
  const rows = done.parts.length + MORE_PARTS
  const typed = (quantity: TypedQuantity | null) => (quantity === null ? undefined : String(quantity.value))
  const day = (at: number | null | undefined) =>
    at == null ? undefined : new Date(at).toISOString().slice(0, 10)
  const wrong = (name: string) => own?.errors.some(({ path }) => path.startsWith(`${name}.`)) === true
  const partNames = Array.from({ length: rows }, (_, index) =>
    ['part', 'oldSerial', 'newSerial'].map((name) => `partsReplaced.${index}.${name}`),
  ).flat()
  return (
    <form method="post" action={action}>
      <input type="hidden" name="_form" value="work" />
      <input type="hidden" name="_key" value={freshKey} />
      <OtherErrors
        form={own}
        fields={[
          'responsibility',
          'refrigerantRecovered',
          'refrigerantAdded',
          'labourTime',
          ...partNames,
          ...['maker', 'number', 'status', 'sentAt', 'dueAt', 'amount'].map((name) => `claim.${name}`),
        ]}
      />
      <SelectField
        name="responsibility"
        label={say.callbacks.putDownTo}
        beside
        choose={say.callbacks.notSaid}
        options={optionsOf(RESPONSIBILITIES, responsibilityWords())}
        value={done.responsibility ?? undefined}
        form={own}
      />
      <QuantityField
        name="refrigerantRecovered"
        label={say.callbacks.refrigerantRecovered}
        required={false}
        quantity="mass"
        units={MASS_UNITS}
        unit={done.recovered?.unit ?? 'g'}
        value={typed(done.recovered)}
        form={own}
      />
      <QuantityField
        name="refrigerantAdded"
        label={say.callbacks.refrigerantAdded}
        required={false}
        quantity="mass"
        units={MASS_UNITS}
        unit={done.added?.unit ?? 'g'}
        value={typed(done.added)}
        form={own}
      />
      <QuantityField
        name="labourTime"
        label={say.callbacks.labour}
        required={false}
        quantity="labour"
        units={LABOUR_UNITS}
        unit={done.labour?.unit ?? 'h'}
        value={typed(done.labour)}
        form={own}
      />
      <details open={done.parts.length > 0 || wrong('partsReplaced')}>
        <summary>{say.callbacks.partsReplaced}</summary>
        {Array.from({ length: rows }, (_, index) => {
          const part = done.parts[index]
          const name = (field: string) => `partsReplaced.${index}.${field}`
          return (
            <div class="part-row" key={name('part')}>
              <TextField
                name={name('part')}
                label={say.callbacks.partNumber(index + 1)}
                maxlength={120}
                autocomplete="off"
                value={part?.part}
                form={own}
              />
              <TextField
                name={name('oldSerial')}
                label={say.callbacks.oldSerial}
                maxlength={120}
                autocomplete="off"
                value={part?.oldSerial ?? undefined}
                form={own}
              />
              <TextField
                name={name('newSerial')}
                label={say.callbacks.newSerial}
                maxlength={120}
                autocomplete="off"
                value={part?.newSerial ?? undefined}
                form={own}
              />
            </div>
          )
        })}
      </details>
      <details open={done.claim !== null || wrong('claim')}>
        <summary>{say.callbacks.aClaimOnThe}</summary>
        <TextField
          name="claim.maker"
          label={say.callbacks.maker}
          required={false}
          maxlength={120}
          autocomplete="off"
          value={done.claim?.maker}
          form={own}
        />
        <TextField
          name="claim.number"
          label={say.callbacks.theMakersClaimNumber}
          required={false}
          maxlength={120}
          autocomplete="off"
          value={done.claim?.number ?? undefined}
          form={own}
        />
        <SelectField
          name="claim.status"
          label={say.callbacks.howItStands}
          beside
          options={optionsOf(CLAIM_STATUSES, claimWords())}
          value={done.claim?.status}
          form={own}
        />
        <TextField
          name="claim.dueAt"
          label={say.callbacks.claimDue}
          hint={say.callbacks.asTheMakerSaid}
          type="date"
          required={false}
          value={day(done.claim?.dueAt)}
          form={own}
        />
        <TextField
          name="claim.sentAt"
          label={say.callbacks.claimSent}
          type="date"
          required={false}
          value={day(done.claim?.sentAt)}
          form={own}
        />
        <TextField
          name="claim.amount"
          label={say.callbacks.claimAmount}
          hint={say.callbacks.withItsCurrency}
          required={false}
          maxlength={40}
          autocomplete="off"
          value={done.claim?.amount ?? undefined}
          form={own}
        />
      </details>
      <Button kind="other">{say.callbacks.keepThis}</Button>
    </form>
  )
}
