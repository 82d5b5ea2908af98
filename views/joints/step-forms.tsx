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
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
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
  assemblyWords,
  closingWords,
  flareMethodWords,
  inspectionWords,
  preparationWords,
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

const words = (value: string) => coded(value)
const options = (values: readonly string[]): Option[] =>
  values.map((value) => ({ value, label: words(value) }))

const diameterWords = (): Record<(typeof DIAMETER_CHECKS)[number], string> => ({
  measured: say.joints.measured,
  'gauge-pass': say.joints.passedTheGauge,
  'not-checked': say.joints.notChecked,
})
const lubricationWords = (): Record<(typeof LUBRICATIONS)[number], string> => ({
  face: say.joints.oilOnTheFlare,
  'face-and-back': say.joints.oilOnFacesAnd,
  none: say.joints.noOil,
  sealant: say.joints.sealant,
})
const leakMethodWords = (): Record<(typeof LEAK_CHECK_METHODS)[number], string> => ({
  bubble: say.joints.bubbles,
  'refrigerant-detector': say.joints.refrigerantDetector,
  'tracer-hydrogen': say.joints.hydrogenTracer,
  'tracer-helium': say.joints.heliumTracer,
  ultrasonic: say.joints.ultrasonic,
  other: say.joints.other,
})

const pick = (options: Option[]): Option[] =>
  options.length === 0 ? [{ value: '', label: say.joints.noneInTheRegister }] : options

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
        {say.joints.forThisOneAnd(hasPoints ? say.joints.allAsListed : say.joints.theSame, props.tag)}
      </Button>
    </>
  )
}

const submitWords = (props: StepFormProps, words: string) =>
  props.correcting === true ? say.joints.recordTheCorrection : words
const pointLabels = (props: StepFormProps) =>
  props.correcting === true
    ? { allLabel: say.joints.correctItAllAs, markedLabel: say.joints.correctItAsMarked }
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
            legend={say.joints.preparation}
            points={asked(preparationWords(), props)}
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
          <Caution harm={['fire', 'no-air']}>{say.joints.circuitEmptyNitrogenFlowing}</Caution>
          <ChoiceField
            name="nitrogenFlow?"
            label={say.joints.nitrogenFlowedWhileBrazing}
            form={props.form}
            value="yes"
            options={[
              { value: 'yes', label: say.joints.yes },
              { value: 'no', label: say.joints.no },
            ]}
          />
          <TextField name="filler" label={say.joints.fillerIfYouNote} form={props.form} />
          <Button>{submitWords(props, say.joints.recordBrazing)}</Button>
        </>
      )
    case 'pressing':
      return (
        <>
          <OtherErrors form={props.form} fields={['instrumentId', 'jawSize', 'insertionMarked']} />
          <SelectField
            name="instrumentId"
            label={say.joints.pressTool}
            form={props.form}
            options={pick(props.instruments.pressTools)}
          />
          <TextField name="jawSize" label={say.joints.jaw} form={props.form} />
          <ChoiceField
            name="insertionMarked?"
            label={say.joints.insertionDepthWasMarked}
            form={props.form}
            value="yes"
            options={[
              { value: 'yes', label: say.joints.yes },
              { value: 'no', label: say.joints.no },
            ]}
          />
          <Button>{submitWords(props, say.joints.recordPressing)}</Button>
        </>
      )
    case 'inspection':
      return <InspectionFields {...props} />
    case 'assembly':
      return (
        <>
          <OtherErrors form={props.form} fields={['points', 'reasons', 'lubricated']} />
          <PointList
            legend={say.joints.assembly}
            points={asked(assemblyWords(), props)}
            form={props.form}
            {...pointLabels(props)}
          >
            <SelectField
              name="lubricated"
              label={say.joints.oil}
              beside
              form={props.form}
              value={props.lubrication ?? 'face'}
              options={LUBRICATIONS.map((value) => ({ value, label: lubricationWords()[value] }))}
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
            legend={say.joints.closing}
            points={asked(closingWords(), props)}
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
        label={say.joints.flaringTool}
        beside
        form={form}
        options={pick(instruments.flaringTools)}
      />
      <ChoiceField
        name="method"
        label={say.joints.how}
        form={form}
        value={props.flareMethod ?? 'powered'}
        options={FLARE_METHODS.map((value) => ({ value, label: flareMethodWords()[value] }))}
      />
      <ChoiceField
        name="depthStopUsed?"
        label={say.joints.depthStopUsed}
        form={form}
        value="yes"
        options={[
          { value: 'yes', label: say.joints.yes },
          { value: 'no', label: say.joints.no },
        ]}
      />
      <details open={fieldValue('projection.value', form) ? true : undefined}>
        <summary>{say.joints.projectionAboveTheDie}</summary>
        <QuantityField
          name="projection"
          label={say.joints.projection}
          quantity="small-length"
          units={units.length}
          unit="mm"
          form={form}
        />
      </details>
      <Button>{submitWords(props, say.joints.recordFlare)}</Button>
    </>
  )
}

function InspectionFields(props: StepFormProps): JSX.Element {
  const { form, units } = props
  const points = asked(inspectionWords(), props)
  // A pressed joint has no face to look at: it is tried with the gauge.
  const gauged = points.length === 0
  return (
    <>
      <OtherErrors form={form} fields={['points', 'reasons', 'diameterCheck', 'outerDiameter', 'outcome']} />
      <ChoiceField
        name="outcome"
        label={gauged ? say.joints.thePressedJointIs : say.joints.theFlareIs}
        form={form}
        value="accepted"
        options={[
          { value: 'accepted', label: say.joints.accepted },
          {
            value: 'rejected',
            label: say.joints.rejectedCutAndRemake(gauged ? say.joints.out : say.joints.off),
          },
        ]}
      />
      <SelectField
        name="diameterCheck"
        label={say.joints.diameter}
        beside
        form={form}
        value="not-checked"
        options={DIAMETER_CHECKS.map((value) => ({ value, label: diameterWords()[value] }))}
      />
      <QuantityField
        name="outerDiameter"
        label={gauged ? say.joints.diameterOverThePress : say.joints.flareDiameterIfMeasured}
        quantity="small-length"
        units={units.length}
        unit="mm"
        form={form}
      />
      {gauged ? (
        <Button>{submitWords(props, say.joints.recordInspection)}</Button>
      ) : (
        <PointList legend={say.joints.inspection} points={points} form={form} {...pointLabels(props)} />
      )}
    </>
  )
}

function TorqueFields(props: StepFormProps): JSX.Element {
  const { form, instruments, units, torque } = props
  return (
    <>
      {props.correcting === true ? null : (
        <Caution harm="pressure">{say.joints.neverTightenOrLoosen}</Caution>
      )}
      <OtherErrors
        form={form}
        fields={['reading', 'instrumentId', 'adapter', 'indication', 'reason', 'angleDegrees']}
      />
      <QuantityField
        name="reading"
        label={say.joints.whatTheWrenchShowed}
        quantity="torque"
        units={units.torque}
        unit={torque?.unit ?? 'N.m'}
        form={form}
        large
      />
      {torque ? (
        <LiveRange
          for={fieldId('reading', form)}
          label={say.joints.torque}
          low={torque.low}
          high={torque.high}
          unit={torque.unit}
          unitLabel={torque.unitLabel}
          accuracyPercent={torque.accuracyPercent}
          words={{
            within: say.joints.inRange,
            below: say.joints.belowTheRangeRecord,
            above: say.joints.aboveTheRangeRecord,
          }}
        />
      ) : null}
      <SelectField
        name="instrumentId"
        label={say.joints.wrench}
        beside
        form={form}
        options={pick(instruments.wrenches)}
      />
      <Button>{submitWords(props, say.joints.recordTorque)}</Button>
      <details open={isOtherwise(form)}>
        <summary>{say.joints.itClickedWithAn}</summary>
        <SelectField
          name="indication"
          label={say.joints.howItWasKnown}
          form={form}
          value="read"
          options={[
            { value: 'read', label: say.joints.readOffTheWrench },
            { value: 'set-and-clicked', label: say.joints.setAndItClicked },
            { value: 'angle-by-manual', label: say.joints.turnedByTheAngle },
            { value: 'not-measured', label: say.joints.notMeasured },
          ]}
        />
        <QuantityField
          name="adapter.offset"
          label={say.joints.adapterDriveToNut}
          quantity="adapter-length"
          units={units.length}
          unit="mm"
          form={form}
        />
        <QuantityField
          name="adapter.wrenchLength"
          label={say.joints.wrenchDriveToGrip}
          quantity="adapter-length"
          units={units.length}
          unit="mm"
          form={form}
        />
        <TextField name="adapter.angleDegrees#" label={say.joints.angleOfTheAdapter} form={form} />
        <TextField name="angleDegrees#" label={say.joints.nutTurnedByDegrees} form={form} />
        <TextField name="reason" label={say.joints.whyItWasNot} form={form} />
        <CheckField name="witnessMark?" label={say.joints.witnessMarkMadeAcross} form={form} />
        <SelectField
          name="circuitState"
          label={say.joints.theCircuitWas}
          form={form}
          value="empty"
          options={[
            { value: 'empty', label: say.joints.empty },
            { value: 'charged', label: say.joints.charged },
            { value: 'under-test-pressure', label: say.joints.underTestPressure },
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
        label={say.joints.leak}
        form={form}
        value="none-found"
        options={[
          { value: 'none-found', label: say.joints.noneFound },
          { value: 'found', label: say.joints.found },
        ]}
      />
      <SelectField
        name="method"
        label={say.joints.method}
        beside
        form={form}
        value="bubble"
        options={LEAK_CHECK_METHODS.map((value) => ({ value, label: leakMethodWords()[value] }))}
      />
      <SelectField
        name="medium"
        label={say.joints.withWord}
        beside
        form={form}
        value="nitrogen"
        options={options(LEAK_CHECK_MEDIA)}
      />
      <QuantityField
        name="gaugePressure"
        label={say.joints.atWhichPressure}
        hint={props.correcting ? undefined : say.joints.leftEmptyDuringA}
        quantity="pressure"
        units={units.pressure}
        unit="MPa"
        form={form}
      />
      <Button>{submitWords(props, say.joints.recordLeakCheck)}</Button>
      <details open={fieldValue('where', form) || fieldValue('sensitivity.value', form) ? true : undefined}>
        <summary>{say.joints.detectorItsSensitivityWhere}</summary>
        <SelectField
          name="instrumentId"
          label={say.joints.detector}
          form={form}
          options={[{ value: '', label: say.joints.none }, ...instruments.detectors]}
        />
        <QuantityField
          name="sensitivity"
          label={say.joints.itsSensitivity}
          quantity="mass-rate"
          units={[{ value: 'g/yr', label: 'g/year' }]}
          unit="g/yr"
          form={form}
        />
        <SelectField
          name="sensitivitySource"
          label={say.joints.knownFrom}
          form={form}
          value=""
          options={[
            { value: '', label: say.joints.notStated },
            { value: 'instrument', label: say.joints.theInstrument },
            { value: 'trial-leak', label: say.joints.aReferenceLeak },
            { value: 'built-in', label: say.joints.theBuiltInFigure },
          ]}
        />
        <CheckField name="checkedOnTrialLeak?" label={say.joints.triedOnAReference} form={form} />
        <TextField name="where" label={say.joints.whereTheLeakWas} form={form} />
      </details>
    </>
  )
}
