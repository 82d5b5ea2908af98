// What is going to be under vacuum, and where does the gauge sit?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { formatQuantity, fromPascals } from '../../server/trade/units.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import { ChoiceField, OtherErrors } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import type { PhotosProps } from '../parts/photos.tsx'
import { BeforeVacuum } from './cautions.tsx'
import { EvacuationOnceStarted } from './once-started.tsx'
import { pageOf, RepeatFields, SetUpFields, type SetUpProps, WhoAndWhen } from './set-up-fields.tsx'

export interface NewEvacuationProps extends SetUpProps {
  shell: Shell
  target: { pressurePa: number; source: string }
  limit: { pressurePa: number; source: string }
  holdMinutes: number
  /** Of the evacuation, should it be started without a signal. */
  photosOnceStarted: PhotosProps | null
}

const FIELDS = [
  'id',
  'jobId',
  'gaugeInstrumentId',
  'gaugeAt',
  'isolatedAt',
  'repeatOf',
  'repeatCause',
  'performedAt@',
  'performedBy',
  'supervisedBy',
]

const micron = (pressurePa: number) => formatQuantity(fromPascals(pressurePa, 'micron'), 'micron')
const pascal = (pressurePa: number) => formatQuantity(pressurePa, 'Pa')

export function NewEvacuationPage(props: NewEvacuationProps): JSX.Element {
  const { form, system } = props
  return (
    <Layout
      {...props.shell}
      title={say.tests.evacuationOf(system.name)}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>{say.tests.evacuationOf(system.name)}</h1>
      {props.jobs.length === 0 ? (
        <Empty
          title={say.tests.noOpenJob}
          action={{ href: `/systems/${system.id}`, label: say.tests.toTheSystem }}
        >
          {say.tests.anEvacuationIsRecorded}
        </Empty>
      ) : props.gauges.length === 0 ? (
        <Empty
          title={say.tests.noVacuumGauge}
          action={{ href: '/instruments/new', label: say.tests.addAGauge }}
        >
          {say.tests.addTheVacuumGauge}
        </Empty>
      ) : (
        <>
          <Facts
            facts={[
              {
                label: say.tests.pullTo,
                value: micron(props.target.pressurePa),
                note: `${pascal(props.target.pressurePa)}; ${props.target.source}`,
              },
              {
                label: say.tests.isolatedNotAbove,
                value: micron(props.limit.pressurePa),
                note: `${pascal(props.limit.pressurePa)}; ${props.limit.source}`,
              },
              { label: say.tests.isolatedFor, value: say.tests.minAtLeast(props.holdMinutes) },
            ]}
          />
          <BeforeVacuum />
          {props.photosOnceStarted === null ? null : (
            <EvacuationOnceStarted {...props} photos={props.photosOnceStarted} />
          )}
          <form
            method="post"
            action={`/systems/${system.id}/evacuations`}
            data-starts={`/systems/${system.id}/evacuations`}
            data-page={pageOf(props, 'evacuations')}
          >
            <OtherErrors form={form} fields={FIELDS} />
            <SetUpFields {...props} gaugeLabel={say.tests.vacuumGauge} />
            <ChoiceField
              name="gaugeAt"
              label={say.tests.theGaugeSits}
              hint={say.tests.atTheFarSideIt}
              options={[
                { value: 'far-side', label: say.tests.atTheFarSide2 },
                { value: 'near-pump', label: say.tests.nearThePump },
              ]}
              form={form}
            />
            <ChoiceField
              name="isolatedAt"
              label={say.tests.itIsIsolatedWith}
              hint={say.tests.theCloserToThe}
              options={[
                { value: 'core-tool', label: say.tests.aCoreTool2 },
                { value: 'manifold', label: say.tests.theManifold },
              ]}
              form={form}
            />
            <RepeatFields {...props} />
            <WhoAndWhen crew={props.crew} form={form} when={say.tests.whenItBegan} />
            <Button>{say.tests.startTheEvacuation}</Button>
          </form>
        </>
      )}
    </Layout>
  )
}
