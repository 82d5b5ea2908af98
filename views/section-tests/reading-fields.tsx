// What is asked for one reading of a test, when it is taken and when it is corrected?

import type { JSX } from 'preact'
import type { PressureUnit, TemperatureUnit } from '../../server/trade/units.ts'
import type { PressureStage, VacuumPhase } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
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

export const pressureStageOptions = (): readonly (Option & { value: PressureStage; note: string })[] => [
  { value: 'raise', label: say.tests.raising, note: say.tests.sourceOn },
  { value: 'hold', label: say.tests.holding, note: say.tests.sourceOff },
]

export const vacuumPhaseOptions = (): readonly (Option & { value: VacuumPhase; note?: string })[] => [
  { value: 'pull', label: say.tests.pullingDown, note: say.tests.thePumpRuns },
  { value: 'break', label: say.tests.brokenWithNitrogen },
  { value: 'decay', label: say.tests.isolated, note: say.tests.thePumpIsShut },
]

export function PressureReadingFields(
  props: ReadingFieldsProps & { stage: PressureStage; thermometers: readonly Option[] },
): JSX.Element {
  const { form } = props
  return (
    <>
      <ChoiceField
        name="stage"
        label={say.tests.stage}
        inline
        options={pressureStageOptions()}
        value={props.stage}
        form={form}
      />
      <QuantityField
        name="gaugePressure"
        label={say.tests.gaugePressure}
        quantity="test-pressure"
        units={TEST_PRESSURE_UNITS}
        unit={props.unit}
        form={form}
        large
        required
      />
      <QuantityField
        name="temperature"
        label={say.tests.temperatureOnTheTube}
        quantity="temperature"
        units={TEMPERATURE_UNITS}
        unit={props.temperatureUnit}
        form={form}
        required
      />
      <Otherwise {...props} summary={say.tests.readEarlierOrWith} thermometers={props.thermometers} />
    </>
  )
}

export function VacuumReadingFields(props: ReadingFieldsProps & { phase: VacuumPhase }): JSX.Element {
  const { form } = props
  return (
    <>
      <ChoiceField
        name="phase"
        label={say.tests.phase}
        options={vacuumPhaseOptions()}
        value={props.phase}
        form={form}
      />
      <QuantityField
        name="absolutePressure"
        label={say.tests.vacuumGauge}
        quantity="vacuum"
        units={VACUUM_UNITS}
        unit={props.unit}
        form={form}
        large
        required
      />
      <QuantityField
        name="temperature"
        label={say.tests.warmestPart}
        hint={say.tests.onceIsEnoughIt}
        quantity="temperature"
        units={TEMPERATURE_UNITS}
        unit={props.temperatureUnit}
        form={form}
        required={false}
      />
      <Otherwise {...props} summary={say.tests.readEarlierOrWithAnother} />
    </>
  )
}

/** When it was read and with what, where that is not now and not the test's own. */
function Otherwise(
  props: ReadingFieldsProps & { summary: string; thermometers?: readonly Option[] },
): JSX.Element {
  const { form, readAt } = props
  const when = useWhen()
  const same = readAt === undefined ? say.tests.theSame : say.tests.asRecorded
  return (
    <details
      open={['at@', 'instrumentId', 'thermometerInstrumentId'].some(
        (name) => (form.values[fieldName(name, form)] ?? '') !== '',
      )}
    >
      <summary>
        <span>{readAt === undefined ? props.summary : say.tests.whenItWasRead}</span>
      </summary>
      <MomentField
        name="at@"
        label={say.tests.whenItWasRead2}
        hint={
          readAt === undefined
            ? say.tests.leaveItEmptyFor
            : say.tests.leaveItEmptyToKeep(when({ at: readAt }))
        }
        form={form}
      />
      <SelectField
        name="instrumentId"
        label={say.tests.gauge}
        choose={same}
        options={props.gauges}
        form={form}
        required={false}
      />
      {props.thermometers === undefined ? null : (
        <SelectField
          name="thermometerInstrumentId"
          label={say.tests.thermometer}
          choose={same}
          options={props.thermometers}
          form={form}
          required={false}
        />
      )}
    </details>
  )
}
