// What is asked of a test that a phone started without a signal, before the server knows of it?

import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'
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
      clock={say.tests.holdingFor}
      why={say.tests.enterEachStageAs(props.settleMinutes)}
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
      clock={say.tests.isolatedFor}
      why={say.tests.enterReadingsWhileIt}
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
          <span class="soft"> {say.tests.ofMin(props.holdMinutes)}</span>
        </p>
        {props.children}
        <form method="post" action={`/${props.path}/${SOME_TEST}/readings`}>
          <h2>{say.tests.nextReading}</h2>
          {props.fields}
          <Button>{say.tests.recordTheReading}</Button>
        </form>
        <p class="hint">{say.tests.theCurveAndThe}</p>
      </section>
      <Photos {...props.photos} />
      <section class="sheet">
        <h2>{say.tests.endTheTest}</h2>
        <form method="post" action={`/${props.path}/${SOME_TEST}/conclude`}>
          <Button kind="other">{say.tests.endItAndHave}</Button>
        </form>
        <p class="hint">{say.tests.noReadingCanBe}</p>
      </section>
    </template>
  )
}
