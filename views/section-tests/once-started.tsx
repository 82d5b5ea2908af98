// What is asked of a test that a phone started without a signal, before the server knows of it?

import type { ComponentChildren, JSX } from 'preact'
import { Button } from '../parts/button.tsx'
import type { Option } from '../parts/field.tsx'
import { Photos, type PhotosProps } from '../parts/photos.tsx'
import { BeforeVacuum, UnderPressure } from './cautions.tsx'
import { nextReading, PressureReadingFields, VacuumReadingFields } from './reading-fields.tsx'

/** Stands where the phone puts in the test that it started itself. */
export const SOME_TEST = '~test'

interface OnceStartedProps {
  gauges: readonly Option[]
  holdMinutes: number
  photos: PhotosProps
}

/** Inert until `kept-here.js` takes it out. */
export function PressureOnceStarted(
  props: OnceStartedProps & { settleMinutes: number; thermometers: readonly Option[] },
): JSX.Element {
  return (
    <Template
      {...props}
      path="pressure-tests"
      clock="Holding for"
      why={`Enter each stage as you raise it; then take the source off, wait ${props.settleMinutes} minutes and read the start of the hold.`}
      fields={
        <PressureReadingFields
          form={nextReading(undefined)}
          stage="raise"
          unit="MPa"
          temperatureUnit="degC"
          gauges={props.gauges}
          thermometers={props.thermometers}
        />
      }
    >
      <UnderPressure />
    </Template>
  )
}

export function EvacuationOnceStarted(props: OnceStartedProps): JSX.Element {
  return (
    <Template
      {...props}
      path="evacuations"
      clock="Isolated for"
      why="Enter readings while it pulls down; isolate it from the pump at the target, then read at once and every minute."
      fields={
        <VacuumReadingFields
          form={nextReading(undefined)}
          phase="pull"
          unit="micron"
          temperatureUnit="degC"
          gauges={props.gauges}
        />
      }
    >
      <BeforeVacuum />
    </Template>
  )
}

function Template(
  props: OnceStartedProps & {
    path: 'pressure-tests' | 'evacuations'
    clock: string
    why: string
    fields: ComponentChildren
    children: ComponentChildren
  },
): JSX.Element {
  return (
    <template id="once-started">
      <section class="sheet">
        <p class="why">{props.why}</p>
        <p class="clock-line">
          {props.clock}{' '}
          <span class="clock" role="timer" data-since="" data-enough={props.holdMinutes}>
            0:00
          </span>
          <span class="soft"> of {props.holdMinutes} min</span>
        </p>
        {props.children}
        <form method="post" action={`/${props.path}/${SOME_TEST}/readings`}>
          <h2>Next reading</h2>
          {props.fields}
          <Button>Record the reading</Button>
        </form>
        <p class="hint">The curve and the verdict come when the readings have been sent.</p>
      </section>
      <Photos {...props.photos} />
      <section class="sheet">
        <h2>End the test</h2>
        <form method="post" action={`/${props.path}/${SOME_TEST}/conclude`}>
          <Button kind="other">End it and have it judged</Button>
        </form>
        <p class="hint">No reading can be added afterwards. The test stays in the record either way.</p>
      </section>
    </template>
  )
}
