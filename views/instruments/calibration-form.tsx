// How was this instrument found when it was checked?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { InstrumentKind } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import {
  ChoiceField,
  type FormState,
  fieldErrors,
  fieldValue,
  OtherErrors,
  TextField,
} from '../parts/field.tsx'
import { MomentField } from '../section-tests/set-up-fields.tsx'
import { FIGURE_UNITS, MEASURES } from './units.ts'
import { BASIS_WORDS, CHECK_HINTS, RESULT_WORDS } from './words.ts'

export interface CalibrationPageProps {
  shell: Shell
  id: string
  instrument: { id: string; kind: InstrumentKind; name: string; serial: string }
  form?: FormState | undefined
}

const FIELDS = [
  'at@',
  'result',
  'basis',
  'points',
  'asFoundErrorPercent#',
  'asLeftErrorPercent#',
  'uncertainty',
  'reference',
]
const ROWS = [0, 1, 2, 3, 4]

export function CalibrationPage({ shell, id, instrument, form }: CalibrationPageProps): JSX.Element {
  const pointsTyped = ROWS.some((row) => fieldValue(`points.${row}.nominal.value`, form) !== '')
  return (
    <Layout {...shell} title={`Check of ${instrument.name}`} width="narrow">
      <h1>Check of {instrument.name}</h1>
      <p class="lead">
        Serial {instrument.serial}. {CHECK_HINTS[instrument.kind]}
      </p>
      <form method="post" action={`/instruments/${instrument.id}/calibrations`}>
        <input type="hidden" name="id" value={id} />
        <OtherErrors form={form} fields={FIELDS} />
        <ChoiceField
          name="result"
          label="It was found"
          required
          options={[
            { value: 'in-tolerance', label: RESULT_WORDS['in-tolerance'] },
            { value: 'out-of-tolerance', label: RESULT_WORDS['out-of-tolerance'] },
            { value: 'adjusted', label: RESULT_WORDS.adjusted },
          ]}
          form={form}
        />
        <ChoiceField
          name="basis"
          label="By"
          inline
          required
          options={[
            { value: 'certificate', label: BASIS_WORDS.certificate },
            { value: 'own-check', label: BASIS_WORDS['own-check'] },
          ]}
          form={form}
        />
        <TextField
          name="reference"
          label="Certificate number, or checked against"
          hint="An own check of a wrench, gauge or scale counts only with its reference."
          required={false}
          maxlength={200}
          autocomplete="off"
          form={form}
        />
        <MomentField name="at@" label="When" hint="Leave it empty for now." form={form} />
        {MEASURES.has(instrument.kind) ? (
          <>
            <TextField
              name="asFoundErrorPercent#"
              label="Error as found, percent"
              hint={
                instrument.kind === 'torque-wrench'
                  ? '(shown − true) / true. Above zero: it applies less than it shows.'
                  : '(shown − true) / true. Above zero: it shows too much.'
              }
              required={false}
              inputmode="text"
              form={form}
            />
            <TextField
              name="asLeftErrorPercent#"
              label="Error as left, percent"
              required={false}
              inputmode="text"
              form={form}
            />
            <details open={pointsTyped || fieldErrors('points', form).length > 0}>
              <summary>or at several points</summary>
              <Points instrument={instrument} form={form} />
            </details>
          </>
        ) : null}
        <Button>Record the check</Button>
      </form>
    </Layout>
  )
}

function Points({ instrument, form }: Pick<CalibrationPageProps, 'instrument' | 'form'>): JSX.Element {
  const units = FIGURE_UNITS[instrument.kind]
  const cell = (name: string, label: string) => (
    <input
      class="number"
      type="text"
      autocomplete="off"
      name={name}
      aria-label={label}
      aria-invalid={fieldErrors(name, form).length > 0 ? 'true' : undefined}
      value={fieldValue(name, form)}
    />
  )
  return (
    <table class="fill-in">
      <caption class="vh">Errors at several points</caption>
      <thead>
        <tr>
          <th scope="col">At</th>
          <th scope="col">Unit</th>
          <th scope="col">Found, %</th>
          <th scope="col">Left, %</th>
        </tr>
      </thead>
      <tbody>
        {ROWS.map((row) => (
          <tr key={row}>
            <td>
              {cell(`points.${row}.nominal.value`, `Point ${row + 1}: at`)}
              {fieldErrors(`points.${row}`, form).length === 0 ? null : (
                <p class="message">{fieldErrors(`points.${row}`, form).join(' ')}</p>
              )}
            </td>
            <td>
              <select name={`points.${row}.nominal.unit`} aria-label={`Point ${row + 1}: unit`}>
                {units.map((unit) => (
                  <option
                    key={unit.value}
                    value={unit.value}
                    selected={fieldValue(`points.${row}.nominal.unit`, form, units[0]?.value) === unit.value}
                  >
                    {unit.label}
                  </option>
                ))}
              </select>
            </td>
            <td>{cell(`points.${row}.asFoundErrorPercent#`, `Point ${row + 1}: error as found, percent`)}</td>
            <td>{cell(`points.${row}.asLeftErrorPercent#`, `Point ${row + 1}: error as left, percent`)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
