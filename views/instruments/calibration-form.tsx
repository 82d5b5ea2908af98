// How was this instrument found when it was checked?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { InstrumentKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import {
  ChoiceField,
  FileField,
  type FormState,
  fieldErrors,
  fieldValue,
  OtherErrors,
  TextField,
} from '../parts/field.tsx'
import { MomentField } from '../section-tests/set-up-fields.tsx'
import { CERTIFICATE_FILES } from './certificates.tsx'
import { FIGURE_UNITS, MEASURES } from './units.ts'
import { basisWords, checkHints, resultWords } from './words.ts'

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
  'certificate',
]
const ROWS = [0, 1, 2, 3, 4]

export function CalibrationPage({ shell, id, instrument, form }: CalibrationPageProps): JSX.Element {
  const pointsTyped = ROWS.some((row) => fieldValue(`points.${row}.nominal.value`, form) !== '')
  return (
    <Layout {...shell} title={say.instruments.checkOf(instrument.name)} width="narrow">
      <h1>{say.instruments.checkOf(instrument.name)}</h1>
      <p class="lead">{say.instruments.serial(instrument.serial, checkHints()[instrument.kind])}</p>
      <form
        method="post"
        action={`/instruments/${instrument.id}/calibrations`}
        encType="multipart/form-data"
        hx-boost="false"
      >
        <input type="hidden" name="id" value={id} />
        <OtherErrors form={form} fields={FIELDS} />
        <ChoiceField
          name="result"
          label={say.instruments.itWasFound}
          required
          options={[
            { value: 'in-tolerance', label: resultWords()['in-tolerance'] },
            { value: 'out-of-tolerance', label: resultWords()['out-of-tolerance'] },
            { value: 'adjusted', label: resultWords().adjusted },
          ]}
          form={form}
        />
        <ChoiceField
          name="basis"
          label={say.instruments.by}
          inline
          required
          options={[
            { value: 'certificate', label: basisWords().certificate },
            { value: 'own-check', label: basisWords()['own-check'] },
          ]}
          form={form}
        />
        <TextField
          name="reference"
          label={say.instruments.certificateNumberOrChecked}
          hint={say.instruments.anOwnCheckOf}
          required={false}
          maxlength={200}
          autocomplete="off"
          form={form}
        />
        <MomentField
          name="at@"
          label={say.instruments.when}
          hint={say.instruments.leaveItEmptyFor}
          form={form}
        />
        {MEASURES.has(instrument.kind) ? (
          <>
            <TextField
              name="asFoundErrorPercent#"
              label={say.instruments.errorAsFoundPercent}
              hint={
                instrument.kind === 'torque-wrench'
                  ? say.instruments.shownTrueTrueAbove
                  : say.instruments.shownTrueTrueAboveZero
              }
              required={false}
              inputmode="text"
              form={form}
            />
            <TextField
              name="asLeftErrorPercent#"
              label={say.instruments.errorAsLeftPercent}
              required={false}
              inputmode="text"
              form={form}
            />
            <details open={pointsTyped || fieldErrors('points', form).length > 0}>
              <summary>{say.instruments.orAtSeveralPoints}</summary>
              <Points instrument={instrument} form={form} />
            </details>
          </>
        ) : null}
        <FileField
          name="certificate"
          label={say.instrumentCare.certificateFile}
          required={false}
          accept={CERTIFICATE_FILES}
          form={form}
        />
        <Button>{say.instruments.recordTheCheck}</Button>
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
      <caption class="vh">{say.instruments.errorsAtSeveralPoints}</caption>
      <thead>
        <tr>
          <th scope="col">{say.instruments.at}</th>
          <th scope="col">{say.instruments.unit}</th>
          <th scope="col">{say.instruments.found}</th>
          <th scope="col">{say.instruments.left}</th>
        </tr>
      </thead>
      <tbody>
        {ROWS.map((row) => (
          <tr key={row}>
            <td>
              {cell(`points.${row}.nominal.value`, say.instruments.pointAt(row + 1))}
              {fieldErrors(`points.${row}`, form).length === 0 ? null : (
                <p class="message">{fieldErrors(`points.${row}`, form).join(' ')}</p>
              )}
            </td>
            <td>
              <select name={`points.${row}.nominal.unit`} aria-label={say.instruments.pointUnit(row + 1)}>
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
            <td>{cell(`points.${row}.asFoundErrorPercent#`, say.instruments.pointErrorAsFound(row + 1))}</td>
            <td>{cell(`points.${row}.asLeftErrorPercent#`, say.instruments.pointErrorAsLeft(row + 1))}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
