// What is asked for the next step of a making? One short form for each kind of step.

import type { JSX } from 'preact'
import {
  DIAMETER_CHECKS,
  FLARE_METHODS,
  LEAK_CHECK_MEDIA,
  LEAK_CHECK_METHODS,
  LUBRICATIONS,
  type StepKind,
} from '../../server/vocabulary.ts'
import { Button } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import {
  CheckField,
  ChoiceField,
  type FormState,
  fieldId,
  fieldValue,
  type Option,
  OtherErrors,
  QuantityField,
  SelectField,
  TextField,
  type UnitOption,
} from '../parts/field.tsx'
import { LiveRange } from '../parts/live-range.tsx'
import { PointList } from '../parts/point-list.tsx'
import {
  ASSEMBLY_WORDS,
  CLOSING_WORDS,
  FLARE_METHOD_WORDS,
  INSPECTION_WORDS,
  PREPARATION_WORDS,
} from './step-words.ts'

export interface TorqueWanted {
  low: number
  high: number
  unit: string
  unitLabel: string
  accuracyPercent: number | undefined
}

export interface StepFormProps {
  kind: StepKind
  /** Codes of the points that this kind of joint has; left out, all of them. */
  points?: readonly string[] | undefined
  /** Where it is posted: `/makes/…/torque`. */
  action: string
  freshId: string
  jobId: string
  form?: FormState | undefined
  /** Instruments to choose from, by what they are for. */
  instruments: { flaringTools: Option[]; wrenches: Option[]; pressTools: Option[]; detectors: Option[] }
  /** The person's own unit stands first. */
  units: { torque: UnitOption[]; length: UnitOption[]; pressure: UnitOption[] }
  torque: TorqueWanted | null
  lubrication: string | null
  /** How the last flare was formed: most likely this one is too. */
  flareMethod?: string | null | undefined
  together: Together | null
  /** The step is recorded already, and this says what it should have been. */
  correcting?: boolean | undefined
}

/** The other joint at this unit waits for the same: one button does both. */
export interface Together {
  /** The two makes, parted by a blank; or, to start their makes, `joint:make` twice, the make's id being fresh. */
  ids: string
  /** Of the other one. */
  tag: string
  /** Of this one: where to come back to. */
  jointId: string
  /** Sent twice it is one write. */
  key: string
}

const words = (value: string) => value.replaceAll('-', ' ')
const options = (values: readonly string[]): Option[] =>
  values.map((value) => ({ value, label: words(value) }))

const DIAMETER_WORDS: Record<(typeof DIAMETER_CHECKS)[number], string> = {
  measured: 'Measured',
  'gauge-pass': 'Passed the gauge',
  'not-checked': 'Not checked',
}
const LUBRICATION_WORDS: Record<(typeof LUBRICATIONS)[number], string> = {
  face: 'Oil on the flare faces',
  'face-and-back': 'Oil on faces and back of the flare',
  none: 'No oil',
  sealant: 'Sealant',
}
const LEAK_METHOD_WORDS: Record<(typeof LEAK_CHECK_METHODS)[number], string> = {
  bubble: 'Bubbles',
  'refrigerant-detector': 'Refrigerant detector',
  'tracer-hydrogen': 'Hydrogen tracer',
  'tracer-helium': 'Helium tracer',
  ultrasonic: 'Ultrasonic',
  other: 'Other',
}

const pick = (options: Option[]): Option[] =>
  options.length === 0 ? [{ value: '', label: 'None in the register yet' }] : options

export function StepForm(props: StepFormProps & { again?: boolean }): JSX.Element {
  return (
    <form method="post" action={props.action}>
      <input type="hidden" name="id" value={props.form?.values.id ?? props.freshId} />
      <input type="hidden" name="jobId" value={props.jobId} />
      {props.again ? <input type="hidden" name="_again" value={props.kind} /> : null}
      <StepFields {...props} />
      {props.together ? <BothJoints {...props.together} step={props.kind} jobId={props.jobId} /> : null}
    </form>
  )
}

const HAS_POINTS: ReadonlySet<StepKind> = new Set(['preparation', 'inspection', 'assembly'])

/** Stands inside the form of one joint and sends it for two. */
export function BothJoints(props: Together & { step: StepKind | 'make'; jobId: string }): JSX.Element {
  const hasPoints = props.step !== 'make' && HAS_POINTS.has(props.step)
  return (
    <>
      <input type="hidden" name="_step" value={props.step} />
      <input type="hidden" name="_joint" value={props.jointId} />
      <input type="hidden" name="_key" value={props.key} />
      <Button
        kind="other"
        formaction={`/jobs/${props.jobId}/steps`}
        name="_both"
        value={hasPoints ? `${props.ids} all` : props.ids}
      >
        {hasPoints ? 'All as listed' : 'The same'} for this one and {props.tag}
      </Button>
    </>
  )
}

const submitWords = (props: StepFormProps, words: string) =>
  props.correcting === true ? 'Record the correction' : words
const pointLabels = (props: StepFormProps) =>
  props.correcting === true
    ? { allLabel: 'Correct it: all as listed', markedLabel: 'Correct it as marked' }
    : {}

/** The points that this joint has. */
const asked = <Point extends { code: string }>(
  points: readonly Point[],
  { points: codes }: StepFormProps,
): readonly Point[] => points.filter(({ code }) => codes === undefined || codes.includes(code))

/** What is asked for this kind of step, with its button; stands inside a form. */
export function StepFields(props: StepFormProps): JSX.Element {
  switch (props.kind) {
    case 'preparation':
      return (
        <>
          <OtherErrors form={props.form} fields={['points', 'reasons']} />
          <PointList
            legend="Preparation"
            points={asked(PREPARATION_WORDS, props)}
            form={props.form}
            {...pointLabels(props)}
          />
        </>
      )
    case 'flare':
      return <FlareFields {...props} />
    case 'brazing':
      return (
        <>
          <OtherErrors form={props.form} fields={['nitrogenFlow', 'filler']} />
          <Caution harm={['fire', 'no-air']}>
            Circuit empty, nitrogen flowing and open to the air, extinguisher at hand. Oil and oxygen explode:
            never oxygen or air.
          </Caution>
          <ChoiceField
            name="nitrogenFlow?"
            label="Nitrogen flowed while brazing"
            form={props.form}
            value="yes"
            options={[
              { value: 'yes', label: 'Yes' },
              { value: 'no', label: 'No' },
            ]}
          />
          <TextField name="filler" label="Filler, if you note it" form={props.form} />
          <Button>{submitWords(props, 'Record brazing')}</Button>
        </>
      )
    case 'pressing':
      return (
        <>
          <OtherErrors form={props.form} fields={['instrumentId', 'jawSize', 'insertionMarked']} />
          <SelectField
            name="instrumentId"
            label="Press tool"
            form={props.form}
            options={pick(props.instruments.pressTools)}
          />
          <TextField name="jawSize" label="Jaw" form={props.form} />
          <ChoiceField
            name="insertionMarked?"
            label="Insertion depth was marked"
            form={props.form}
            value="yes"
            options={[
              { value: 'yes', label: 'Yes' },
              { value: 'no', label: 'No' },
            ]}
          />
          <Button>{submitWords(props, 'Record pressing')}</Button>
        </>
      )
    case 'inspection':
      return <InspectionFields {...props} />
    case 'assembly':
      return (
        <>
          <OtherErrors form={props.form} fields={['points', 'reasons', 'lubricated']} />
          <PointList
            legend="Assembly"
            points={asked(ASSEMBLY_WORDS, props)}
            form={props.form}
            {...pointLabels(props)}
          >
            <SelectField
              name="lubricated"
              label="Oil"
              beside
              form={props.form}
              value={props.lubrication ?? 'face'}
              options={LUBRICATIONS.map((value) => ({ value, label: LUBRICATION_WORDS[value] }))}
            />
          </PointList>
        </>
      )
    case 'torque':
      return <TorqueFields {...props} />
    case 'closing':
      return (
        <>
          <OtherErrors form={props.form} fields={['points', 'reasons']} />
          <PointList
            legend="Closing"
            points={asked(CLOSING_WORDS, props)}
            form={props.form}
            {...pointLabels(props)}
          />
        </>
      )
    case 'leak-check':
      return <LeakCheckFields {...props} />
  }
}

function FlareFields(props: StepFormProps): JSX.Element {
  const { form, instruments, units } = props
  return (
    <>
      <OtherErrors form={form} fields={['instrumentId', 'method', 'depthStopUsed', 'projection']} />
      <SelectField
        name="instrumentId"
        label="Flaring tool"
        beside
        form={form}
        options={pick(instruments.flaringTools)}
      />
      <ChoiceField
        name="method"
        label="How"
        form={form}
        value={props.flareMethod ?? 'powered'}
        options={FLARE_METHODS.map((value) => ({ value, label: FLARE_METHOD_WORDS[value] }))}
      />
      <ChoiceField
        name="depthStopUsed?"
        label="Depth stop used"
        form={form}
        value="yes"
        options={[
          { value: 'yes', label: 'Yes' },
          { value: 'no', label: 'No' },
        ]}
      />
      <details open={fieldValue('projection.value', form) ? true : undefined}>
        <summary>Projection above the die, if you measured it</summary>
        <QuantityField
          name="projection"
          label="Projection"
          quantity="small-length"
          units={units.length}
          unit="mm"
          form={form}
        />
      </details>
      <Button>{submitWords(props, 'Record flare')}</Button>
    </>
  )
}

function InspectionFields(props: StepFormProps): JSX.Element {
  const { form, units } = props
  const points = asked(INSPECTION_WORDS, props)
  // A pressed joint has no face to look at: it is tried with the gauge.
  const gauged = points.length === 0
  return (
    <>
      <OtherErrors form={form} fields={['points', 'reasons', 'diameterCheck', 'outerDiameter', 'outcome']} />
      <ChoiceField
        name="outcome"
        label={gauged ? 'The pressed joint is' : 'The flare is'}
        form={form}
        value="accepted"
        options={[
          { value: 'accepted', label: 'Accepted' },
          { value: 'rejected', label: `Rejected: cut ${gauged ? 'out' : 'off'} and remake` },
        ]}
      />
      <SelectField
        name="diameterCheck"
        label="Diameter"
        beside
        form={form}
        value="not-checked"
        options={DIAMETER_CHECKS.map((value) => ({ value, label: DIAMETER_WORDS[value] }))}
      />
      <QuantityField
        name="outerDiameter"
        label={gauged ? 'Diameter over the press, if measured' : 'Flare diameter, if measured'}
        quantity="small-length"
        units={units.length}
        unit="mm"
        form={form}
      />
      {gauged ? (
        <Button>{submitWords(props, 'Record inspection')}</Button>
      ) : (
        <PointList legend="Inspection" points={points} form={form} {...pointLabels(props)} />
      )}
    </>
  )
}

function TorqueFields(props: StepFormProps): JSX.Element {
  const { form, instruments, units, torque } = props
  return (
    <>
      {props.correcting === true ? null : (
        <Caution harm="pressure">Never tighten or loosen a joint under test pressure.</Caution>
      )}
      <OtherErrors
        form={form}
        fields={['reading', 'instrumentId', 'adapter', 'indication', 'reason', 'angleDegrees']}
      />
      <QuantityField
        name="reading"
        label="What the wrench showed"
        quantity="torque"
        units={units.torque}
        unit={torque?.unit ?? 'N.m'}
        form={form}
        large
      />
      {torque ? (
        <LiveRange
          for={fieldId('reading', form)}
          label="Torque"
          low={torque.low}
          high={torque.high}
          unit={torque.unit}
          unitLabel={torque.unitLabel}
          accuracyPercent={torque.accuracyPercent}
          words={{
            within: 'In range.',
            below: 'Below the range. Record it, then bring it up.',
            above: 'Above the range. Record it; flare and nut are then inspected.',
          }}
        />
      ) : null}
      <SelectField
        name="instrumentId"
        label="Wrench"
        beside
        form={form}
        options={pick(instruments.wrenches)}
      />
      <Button>{submitWords(props, 'Record torque')}</Button>
      <details open={isOtherwise(form)}>
        <summary>It clicked · with an adapter · not measured</summary>
        <SelectField
          name="indication"
          label="How it was known"
          form={form}
          value="read"
          options={[
            { value: 'read', label: 'Read off the wrench' },
            { value: 'set-and-clicked', label: 'Set, and it clicked' },
            { value: 'angle-by-manual', label: 'Turned by the angle in the manual' },
            { value: 'not-measured', label: 'Not measured' },
          ]}
        />
        <QuantityField
          name="adapter.offset"
          label="Adapter: drive to nut (minus when turned back)"
          quantity="adapter-length"
          units={units.length}
          unit="mm"
          form={form}
        />
        <QuantityField
          name="adapter.wrenchLength"
          label="Wrench: drive to grip"
          quantity="adapter-length"
          units={units.length}
          unit="mm"
          form={form}
        />
        <TextField name="adapter.angleDegrees#" label="Angle of the adapter, degrees" form={form} />
        <TextField name="angleDegrees#" label="Nut turned by, degrees" form={form} />
        <TextField name="reason" label="Why it was not measured" form={form} />
        <CheckField name="witnessMark?" label="Witness mark made across nut and body" form={form} />
        <SelectField
          name="circuitState"
          label="The circuit was"
          form={form}
          value="empty"
          options={[
            { value: 'empty', label: 'Empty' },
            { value: 'charged', label: 'Charged' },
            { value: 'under-test-pressure', label: 'Under test pressure' },
          ]}
        />
      </details>
    </>
  )
}

const OTHERWISE = ['adapter.offset.value', 'adapter.wrenchLength.value', 'angleDegrees#', 'reason']
const isOtherwise = (form: FormState | undefined): boolean | undefined =>
  OTHERWISE.some((name) => fieldValue(name, form) !== '') ||
  fieldValue('indication', form, 'read') !== 'read' ||
  undefined

function LeakCheckFields(props: StepFormProps): JSX.Element {
  const { form, instruments, units } = props
  return (
    <>
      <OtherErrors
        form={form}
        fields={['method', 'medium', 'result', 'gaugePressure', 'sensitivity', 'where', 'instrumentId']}
      />
      <ChoiceField
        name="result"
        label="Leak"
        form={form}
        value="none-found"
        options={[
          { value: 'none-found', label: 'None found' },
          { value: 'found', label: 'Found' },
        ]}
      />
      <SelectField
        name="method"
        label="Method"
        beside
        form={form}
        value="bubble"
        options={LEAK_CHECK_METHODS.map((value) => ({ value, label: LEAK_METHOD_WORDS[value] }))}
      />
      <SelectField
        name="medium"
        label="With"
        beside
        form={form}
        value="nitrogen"
        options={options(LEAK_CHECK_MEDIA)}
      />
      <QuantityField
        name="gaugePressure"
        label="At which pressure"
        hint={
          props.correcting ? undefined : 'Left empty during a pressure test: the last reading of its gauge.'
        }
        quantity="pressure"
        units={units.pressure}
        unit="MPa"
        form={form}
      />
      <Button>{submitWords(props, 'Record leak check')}</Button>
      <details open={fieldValue('where', form) || fieldValue('sensitivity.value', form) ? true : undefined}>
        <summary>Detector, its sensitivity, where a leak was</summary>
        <SelectField
          name="instrumentId"
          label="Detector"
          form={form}
          options={[{ value: '', label: 'None' }, ...instruments.detectors]}
        />
        <QuantityField
          name="sensitivity"
          label="Its sensitivity"
          quantity="mass-rate"
          units={[{ value: 'g/yr', label: 'g/year' }]}
          unit="g/yr"
          form={form}
        />
        <SelectField
          name="sensitivitySource"
          label="Known from"
          form={form}
          value=""
          options={[
            { value: '', label: 'Not stated' },
            { value: 'instrument', label: 'The instrument' },
            { value: 'trial-leak', label: 'A reference leak' },
            { value: 'built-in', label: 'The built-in figure' },
          ]}
        />
        <CheckField name="checkedOnTrialLeak?" label="Tried on a reference leak today" form={form} />
        <TextField name="where" label="Where the leak was" form={form} />
      </details>
    </>
  )
}
