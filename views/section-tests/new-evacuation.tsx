// What is going to be under vacuum, and where does the gauge sit?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { formatQuantity, fromPascals } from '../../server/trade/units.ts'
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
      title={`Evacuation of ${system.name}`}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>Evacuation of {system.name}</h1>
      {props.jobs.length === 0 ? (
        <Empty title="No open job" action={{ href: `/systems/${system.id}`, label: 'To the system' }}>
          An evacuation is recorded on an open job of this system. Open one first.
        </Empty>
      ) : props.gauges.length === 0 ? (
        <Empty title="No vacuum gauge" action={{ href: '/instruments/new', label: 'Add a gauge' }}>
          Add the vacuum gauge first. A compound gauge can’t show a vacuum this deep.
        </Empty>
      ) : (
        <>
          <Facts
            facts={[
              {
                label: 'Pull to',
                value: micron(props.target.pressurePa),
                note: `${pascal(props.target.pressurePa)}; ${props.target.source}`,
              },
              {
                label: 'Isolated, not above',
                value: micron(props.limit.pressurePa),
                note: `${pascal(props.limit.pressurePa)}; ${props.limit.source}`,
              },
              { label: 'Isolated for', value: `${props.holdMinutes} min at least` },
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
            <SetUpFields {...props} gaugeLabel="Vacuum gauge" />
            <ChoiceField
              name="gaugeAt"
              label="The gauge sits"
              hint="At the far side it shows what the lines have, not what the pump has."
              options={[
                { value: 'far-side', label: 'At the far side' },
                { value: 'near-pump', label: 'Near the pump' },
              ]}
              form={form}
            />
            <ChoiceField
              name="isolatedAt"
              label="It is isolated with"
              hint="The closer to the system, the fewer hoses and cores can leak."
              options={[
                { value: 'core-tool', label: 'A core tool' },
                { value: 'manifold', label: 'The manifold' },
              ]}
              form={form}
            />
            <RepeatFields {...props} />
            <WhoAndWhen crew={props.crew} form={form} when="When it began" />
            <Button>Start the evacuation</Button>
          </form>
        </>
      )}
    </Layout>
  )
}
