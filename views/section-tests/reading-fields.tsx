// What is asked for one reading of a test, when it is taken and when it is corrected?

import type { JSX } from 'preact'
import type { PressureUnit, TemperatureUnit } from '../../server/trade/units.ts'
import type { PressureStage, VacuumPhase } from '../../server/vocabulary.ts'
import {
  ChoiceField,
  type FormState,
  fieldName,
  type Option,
  QuantityField,
  SelectField,
} from '../parts/field.tsx'
import { useWhen } from '../parts/when.tsx'
import { MomentField } from './set-up-fields.tsx'
import { TEMPERATURE_UNITS, TEST_PRESSURE_UNITS, VACUUM_UNITS } from './unit-options.ts'

export interface ReadingFieldsProps {
  form: FormState
  unit: PressureUnit
  temperatureUnit: TemperatureUnit
  gauges: readonly Option[]
  /** Set where a recorded reading is corrected: when it was read. */
  readAt?: number | undefined
}

/** The form of the next reading: its names stand in a list of readings. */
export const nextReading = (form: FormState | undefined): FormState => ({
  values: form?.values ?? {},
  errors: form?.errors ?? [],
  scope: 'readings-0',
  prefix: 'readings.0.',
})

export const PRESSURE_STAGE_OPTIONS: readonly (Option & { value: PressureStage; note: string })[] = [
  { value: 'raise', label: 'Raising', note: 'source on' },
  { value: 'hold', label: 'Holding', note: 'source off' },
]

export const VACUUM_PHASE_OPTIONS: readonly (Option & { value: VacuumPhase; note?: string })[] = [
  { value: 'pull', label: 'Pulling down', note: 'the pump runs' },
  { value: 'break', label: 'Broken with nitrogen' },
  { value: 'decay', label: 'Isolated', note: 'the pump is shut off from it' },
]

export function PressureReadingFields(
  props: ReadingFieldsProps & { stage: PressureStage; thermometers: readonly Option[] },
): JSX.Element {
  const { form } = props
  return (
    <>
      <ChoiceField
        name="stage"
        label="Stage"
        inline
        options={PRESSURE_STAGE_OPTIONS}
        value={props.stage}
        form={form}
      />
      <QuantityField
        name="gaugePressure"
        label="Gauge pressure"
        quantity="test-pressure"
        units={TEST_PRESSURE_UNITS}
        unit={props.unit}
        form={form}
        large
        required
      />
      <QuantityField
        name="temperature"
        label="Temperature on the tube"
        quantity="temperature"
        units={TEMPERATURE_UNITS}
        unit={props.temperatureUnit}
        form={form}
        required
      />
      <Otherwise
        {...props}
        summary="Read earlier, or with another instrument"
        thermometers={props.thermometers}
      />
    </>
  )
}

export function VacuumReadingFields(props: ReadingFieldsProps & { phase: VacuumPhase }): JSX.Element {
  const { form } = props
  return (
    <>
      <ChoiceField
        name="phase"
        label="Phase"
        options={VACUUM_PHASE_OPTIONS}
        value={props.phase}
        form={form}
      />
      <QuantityField
        name="absolutePressure"
        label="Vacuum gauge"
        quantity="vacuum"
        units={VACUUM_UNITS}
        unit={props.unit}
        form={form}
        large
        required
      />
      <QuantityField
        name="temperature"
        label="Warmest part"
        hint="Once is enough. It tells how far moisture alone can raise the pressure."
        quantity="temperature"
        units={TEMPERATURE_UNITS}
        unit={props.temperatureUnit}
        form={form}
        required={false}
      />
      <Otherwise {...props} summary="Read earlier, or with another gauge" />
    </>
  )
}

/** When it was read and with what, where that is not now and not the test's own. */
function Otherwise(
  props: ReadingFieldsProps & { summary: string; thermometers?: readonly Option[] },
): JSX.Element {
  const { form, readAt } = props
  const when = useWhen()
  const same = readAt === undefined ? 'The same' : 'As recorded'
  return (
    <details
      open={['at@', 'instrumentId', 'thermometerInstrumentId'].some(
        (name) => (form.values[fieldName(name, form)] ?? '') !== '',
      )}
    >
      <summary>
        <span>{readAt === undefined ? props.summary : 'When it was read, and with what'}</span>
      </summary>
      <MomentField
        name="at@"
        label="When it was read"
        hint={
          readAt === undefined ? 'Leave it empty for now.' : `Leave it empty to keep ${when({ at: readAt })}.`
        }
        form={form}
      />
      <SelectField
        name="instrumentId"
        label="Gauge"
        choose={same}
        options={props.gauges}
        form={form}
        required={false}
      />
      {props.thermometers === undefined ? null : (
        <SelectField
          name="thermometerInstrumentId"
          label="Thermometer"
          choose={same}
          options={props.thermometers}
          form={form}
          required={false}
        />
      )}
    </details>
  )
}
