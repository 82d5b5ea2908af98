// What is going to be under pressure, with what, and how high may it go?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { formatQuantity, fromPascals } from '../../server/trade/units.ts'
import { say } from '../../server/words/say.ts'
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

const media = (): Option[] => [
  { value: 'nitrogen', label: say.tests.dryNitrogen },
  { value: 'nitrogen-trace', label: say.tests.nitrogenWithATrace },
  { value: 'helium', label: say.tests.helium },
  { value: 'carbon-dioxide', label: say.tests.carbonDioxideMakesThe },
  { value: 'air', label: say.tests.airDangerousMakesThe },
  { value: 'oxygen', label: say.tests.oxygenDangerousMakesThe },
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
      title={say.tests.pressureTestOf(system.name)}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>{say.tests.pressureTestOf(system.name)}</h1>
      {props.jobs.length === 0 ? (
        <Empty
          title={say.tests.noOpenJob}
          action={{ href: `/systems/${system.id}`, label: say.tests.toTheSystem }}
        >
          {say.tests.aTestIsRecorded}
        </Empty>
      ) : props.gauges.length === 0 ? (
        <Empty
          title={say.tests.noPressureGauge}
          action={{ href: '/instruments/new', label: say.tests.addAGauge }}
        >
          {say.tests.addTheGaugeWith}
        </Empty>
      ) : (
        <>
          <Facts
            facts={[
              {
                label: say.tests.testPressure,
                value: props.required ? mpa(props.required.pressurePa) : say.tests.notKnown,
                note: props.required
                  ? `${psi(props.required.pressurePa)}; ${props.required.source}`
                  : undefined,
              },
              {
                label: say.tests.notAbove,
                value: props.limit ? mpa(props.limit.pressurePa) : say.tests.notOnTheSheet,
                note: props.limit ? `${psi(props.limit.pressurePa)}; ${props.limit.source}` : undefined,
              },
              { label: say.tests.hold, value: `${props.holdMinutes} min`, note: say.tests.afterTheSourceIs },
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
            <SetUpFields {...props} gaugeLabel={say.tests.gauge} />
            <SelectField
              name="thermometerInstrumentId"
              label={say.tests.thermometer}
              hint={say.tests.onTheTubeOut}
              choose={say.tests.noneStated}
              options={props.thermometers}
              value={props.thermometers.length === 1 ? props.thermometers[0]?.value : undefined}
              form={form}
            />
            <SelectField
              name="medium"
              label={say.tests.gas}
              hint={say.tests.sayWhatItReally}
              options={media()}
              value="nitrogen"
              form={form}
            />
            <details
              open={['tracer.kind', 'tracer.fraction#'].some((name) => (form?.values[name] ?? '') !== '')}
            >
              <summary>
                <span>{say.tests.traceGas}</span>
              </summary>
              <SelectField
                name="tracer.kind"
                label={say.tests.traceGas}
                choose={say.tests.none}
                options={[
                  { value: 'hydrogen', label: say.tests.hydrogen },
                  { value: 'helium', label: say.tests.helium },
                  { value: 'refrigerant', label: say.tests.refrigerant },
                ]}
                form={form}
                required={false}
              />
              <TextField
                name="tracer.fraction#"
                label={say.tests.itsShareInPercent}
                hint={say.tests.asTheCylinderSays}
                inputmode="decimal"
                form={form}
                required={false}
              />
            </details>
            <SelectField
              name="conditions"
              label={say.tests.theLinesLieIn}
              choose={say.tests.notSaid}
              options={[
                { value: 'shade', label: say.tests.shadeOrIndoors },
                { value: 'sun', label: say.tests.theSun },
                { value: 'rain', label: say.tests.rain },
                { value: 'wind', label: say.tests.wind },
              ]}
              form={form}
            />
            <details open={(form?.values['siteElevation.value'] ?? '') !== ''}>
              <summary>
                <span>{say.tests.heightAboveTheSea}</span>
              </summary>
              <QuantityField
                name="siteElevation"
                label={say.tests.heightAboveTheSea}
                quantity="elevation"
                hint={
                  props.elevationM === null
                    ? say.tests.withoutItTheAirs
                    : say.tests.theSitesOwnIs(formatQuantity(props.elevationM, 'm'))
                }
                units={ELEVATION_UNITS}
                unit="m"
                form={form}
                required={false}
              />
            </details>
            <RepeatFields {...props} />
            <WhoAndWhen crew={props.crew} form={form} when={say.tests.whenItBegan} />
            <Button>{say.tests.startTheTest}</Button>
          </form>
        </>
      )}
    </Layout>
  )
}
