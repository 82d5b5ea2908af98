// What is going to be under pressure, with what, and how high may it go?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { formatQuantity, fromPascals } from '../../server/trade/units.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import { type Option, OtherErrors, QuantityField, SelectField, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import type { PhotosProps } from '../parts/photos.tsx'
import { BeforePressure } from './cautions.tsx'
import { PressureOnceStarted } from './once-started.tsx'
import { pageOf, RepeatFields, SetUpFields, type SetUpProps, WhoAndWhen } from './set-up-fields.tsx'
import { ELEVATION_UNITS } from './unit-options.ts'

export interface NewPressureTestProps extends SetUpProps {
  shell: Shell
  thermometers: readonly Option[]
  required: { pressurePa: number; source: string } | null
  limit: { pressurePa: number; source: string } | null
  /** The site's own, if it is known. */
  elevationM: number | null
  holdMinutes: number
  settleMinutes: number
  /** Of the test, should it be started without a signal. */
  photosOnceStarted: PhotosProps | null
}

const MEDIA: Option[] = [
  { value: 'nitrogen', label: 'Dry nitrogen' },
  { value: 'nitrogen-trace', label: 'Nitrogen with a trace gas' },
  { value: 'helium', label: 'Helium' },
  { value: 'carbon-dioxide', label: 'Carbon dioxide (makes the test void)' },
  { value: 'air', label: 'Air (dangerous, makes the test void)' },
  { value: 'oxygen', label: 'Oxygen (dangerous, makes the test void)' },
]

const FIELDS = [
  'id',
  'jobId',
  'gaugeInstrumentId',
  'thermometerInstrumentId',
  'medium',
  'conditions',
  'tracer',
  'siteElevation',
  'repeatOf',
  'repeatCause',
  'performedAt@',
  'performedBy',
  'supervisedBy',
]

const mpa = (pressurePa: number) => formatQuantity(fromPascals(pressurePa, 'MPa'), 'MPa')
const psi = (pressurePa: number) => formatQuantity(fromPascals(pressurePa, 'psi'), 'psi')

export function NewPressureTestPage(props: NewPressureTestProps): JSX.Element {
  const { form, system } = props
  return (
    <Layout
      {...props.shell}
      title={`Pressure test of ${system.name}`}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>Pressure test of {system.name}</h1>
      {props.jobs.length === 0 ? (
        <Empty title="No open job" action={{ href: `/systems/${system.id}`, label: 'To the system' }}>
          A test is recorded on an open job of this system. Open one first.
        </Empty>
      ) : props.gauges.length === 0 ? (
        <Empty title="No pressure gauge" action={{ href: '/instruments/new', label: 'Add a gauge' }}>
          Add the gauge with its accuracy first: a verdict rests on how good it is.
        </Empty>
      ) : (
        <>
          <Facts
            facts={[
              {
                label: 'Test pressure',
                value: props.required ? mpa(props.required.pressurePa) : 'not known',
                note: props.required
                  ? `${psi(props.required.pressurePa)}; ${props.required.source}`
                  : undefined,
              },
              {
                label: 'Not above',
                value: props.limit ? mpa(props.limit.pressurePa) : 'not on the sheet: read the plates',
                note: props.limit ? `${psi(props.limit.pressurePa)}; ${props.limit.source}` : undefined,
              },
              { label: 'Hold', value: `${props.holdMinutes} min`, note: 'after the source is removed' },
            ]}
          />
          <BeforePressure />
          {props.photosOnceStarted === null ? null : (
            <PressureOnceStarted {...props} photos={props.photosOnceStarted} />
          )}
          <form
            method="post"
            action={`/systems/${system.id}/pressure-tests`}
            data-starts={`/systems/${system.id}/pressure-tests`}
            data-page={pageOf(props, 'pressure-tests')}
          >
            <OtherErrors form={form} fields={FIELDS} />
            <SetUpFields {...props} gaugeLabel="Gauge" />
            <SelectField
              name="thermometerInstrumentId"
              label="Thermometer"
              hint="On the tube, out of the sun: the verdict hangs on the temperature."
              choose="None stated"
              options={props.thermometers}
              value={props.thermometers.length === 1 ? props.thermometers[0]?.value : undefined}
              form={form}
            />
            <SelectField
              name="medium"
              label="Gas"
              hint="Say what it really is: it is recorded in any case."
              options={MEDIA}
              value="nitrogen"
              form={form}
            />
            <details
              open={['tracer.kind', 'tracer.fraction#'].some((name) => (form?.values[name] ?? '') !== '')}
            >
              <summary>
                <span>Trace gas</span>
              </summary>
              <SelectField
                name="tracer.kind"
                label="Trace gas"
                choose="None"
                options={[
                  { value: 'hydrogen', label: 'Hydrogen' },
                  { value: 'helium', label: 'Helium' },
                  { value: 'refrigerant', label: 'Refrigerant' },
                ]}
                form={form}
                required={false}
              />
              <TextField
                name="tracer.fraction#"
                label="Its share in percent"
                hint="As the cylinder says, for example 5."
                inputmode="decimal"
                form={form}
                required={false}
              />
            </details>
            <SelectField
              name="conditions"
              label="The lines lie in"
              choose="Not said"
              options={[
                { value: 'shade', label: 'Shade, or indoors' },
                { value: 'sun', label: 'The sun' },
                { value: 'rain', label: 'Rain' },
                { value: 'wind', label: 'Wind' },
              ]}
              form={form}
            />
            <details open={(form?.values['siteElevation.value'] ?? '') !== ''}>
              <summary>
                <span>Height above the sea</span>
              </summary>
              <QuantityField
                name="siteElevation"
                label="Height above the sea"
                quantity="elevation"
                hint={
                  props.elevationM === null
                    ? 'Without it, the air’s pressure at sea level is taken.'
                    : `The site’s own ${formatQuantity(props.elevationM, 'm')} is taken when you leave this empty.`
                }
                units={ELEVATION_UNITS}
                unit="m"
                form={form}
                required={false}
              />
            </details>
            <RepeatFields {...props} />
            <WhoAndWhen crew={props.crew} form={form} when="When it began" />
            <Button>Start the test</Button>
          </form>
        </>
      )}
    </Layout>
  )
}
