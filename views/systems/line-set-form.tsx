// Which tubes run to which unit? Filled in where the work is, in under a minute.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { JointKind, Tubing } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import {
  ChoiceField,
  type FormState,
  type Option,
  OtherErrors,
  QuantityField,
  SelectField,
  TextField,
} from '../parts/field.tsx'
import { ELEVATION_UNITS, unitOptions } from '../section-tests/unit-options.ts'

const INCH_M = 0.0254
const inch = (label: string, value: number) => ({
  value: `${value} in`,
  label: `${label} in`,
  odM: value * INCH_M,
})
const millimetres = (value: number) => ({ value: `${value} mm`, label: `${value} mm`, odM: value / 1000 })

/** The sizes that split systems are piped with: inch sizes first, then the metric ones that are not the same tube. */
export const TUBE_SIZES = [
  inch('1/4', 0.25),
  inch('5/16', 0.3125),
  inch('3/8', 0.375),
  inch('1/2', 0.5),
  inch('5/8', 0.625),
  inch('3/4', 0.75),
  inch('7/8', 0.875),
  inch('1-1/8', 1.125),
  millimetres(6),
  millimetres(8),
  millimetres(10),
  millimetres(12),
  millimetres(15),
  millimetres(18),
  millimetres(22),
]

interface Typed {
  value: number
  unit: string
}

export interface LineSetView {
  id: string
  name: string
  liquidOd: { value: string; label: string }
  gasOd: { value: string; label: string }
  length: Typed | null
  rise: Typed | null
  tubing: Tubing
  tubeWall: Typed | null
  previousRefrigerant: string | null
  cleaning: string | null
  jointKind: JointKind
  room: {
    floorArea: Typed | null
    releaseHeight: Typed | null
    mounting: string | null
    method: string
    document: string | null
    page: string | null
    measured: boolean
  } | null
  /** Work on its joints has begun. */
  sizesStay: boolean
}

const jointKinds = (): Option[] => [
  { value: 'flare', label: say.systems.flares },
  { value: 'brazed', label: say.systems.brazed },
  { value: 'press', label: say.systems.pressed },
  { value: 'quick-coupling', label: say.systems.quickCouplingsLinesCome },
]
const origins = (): Option[] => [
  { value: 'field', label: say.systems.madeHere },
  { value: 'factory', label: say.systems.flaredOrFittedIn },
  { value: 'existing', label: say.systems.thereBeforeAndLeft },
]
const inside = (): Option[] => [
  { value: 'yes', label: say.systems.insideTheBuilding },
  { value: 'no', label: say.systems.outside },
]
const mountings = (): Option[] => [
  { value: 'wall', label: say.systems.onTheWall },
  { value: 'ceiling', label: say.systems.inOrAtThe },
  { value: 'window', label: say.systems.inAWindow },
  { value: 'floor', label: say.systems.onTheFloor },
]
const methods = (): Option[] => [
  { value: 'unventilated', label: say.systems.byItsAreaAlone },
  { value: 'sheet-table', label: say.systems.byTheTableIn },
  { value: 'ventilated-or-detector', label: say.systems.withVentilationOrA },
]
const AREA_UNITS = unitOptions('area', ['m2', 'sq.ft'])
const WALL_UNITS = unitOptions('length', ['mm', 'in'])

const FIELDS = [
  'name',
  'indoorModel',
  'indoorSerial',
  'toUnitId',
  'fromUnitId',
  'liquidOd',
  'gasOd',
  'length',
  'rise',
  'tubing',
  'tubeWall',
  'previousRefrigerant',
  'cleaning',
  'jointKind',
  'jointOrigin',
  'branchIndoors',
  'room',
  'roomFloorArea',
  'mounting',
]

export interface LineSetStart {
  /** Values of `TUBE_SIZES`, or of `unlisted`. */
  liquidOd: string
  gasOd: string
  unlisted: readonly { value: string; label: string }[]
  /** Where the sizes come from, in words; null where they are only the most usual ones. */
  sizesFrom: string | null
  jointKind: JointKind
  fromUnitId: string | undefined
}

export interface NewLineSetProps {
  shell: Shell
  id: string
  system: { id: string; name: string; refrigerant: string; flammable: boolean }
  jobId: string | undefined
  /** Outdoor and branch units it may start from. */
  from: readonly { id: string; name: string }[]
  /** Units that nothing runs to yet. */
  to: readonly { id: string; name: string }[]
  /** A branch unit stands in the system, so an end may lie at it. */
  branched: boolean
  /** What stands in the fields before anything is chosen. */
  start: LineSetStart
  form?: FormState | undefined
}

export function NewLineSet(props: NewLineSetProps): JSX.Element {
  const { form, from, to, start } = props
  return (
    <Layout {...props.shell} title={say.systems.newLineSet} width="narrow">
      <h1>{say.systems.newLineSet}</h1>
      <p class="lead">{props.system.name}</p>
      <form method="post" action={`/systems/${props.system.id}/line-sets`}>
        <input type="hidden" name="id" value={props.id} />
        {props.jobId === undefined ? null : <input type="hidden" name="jobId" value={props.jobId} />}
        <OtherErrors form={form} fields={FIELDS} />
        <TextField
          name="name"
          label={say.systems.roomOrZone}
          required
          maxlength={120}
          autocomplete="off"
          form={form}
          autofocus
        />
        <TubeSizes liquid={start.liquidOd} gas={start.gasOd} more={start.unlisted} form={form} />
        {start.sizesFrom === null ? null : <p class="hint">{say.systems.sizesAsLookAt(start.sizesFrom)}</p>}
        <QuantityField
          name="length"
          label={say.systems.lengthOneWay}
          required
          quantity="length"
          units={ELEVATION_UNITS}
          unit="m"
          form={form}
        />
        {from.length < 2 ? null : (
          <SelectField
            name="fromUnitId"
            label={say.systems.itComesFrom}
            options={from.map(({ id, name }) => ({ value: id, label: name }))}
            value={start.fromUnitId}
            form={form}
          />
        )}
        {to.length === 0 ? null : (
          <SelectField
            name="toUnitId"
            label={say.systems.itRunsTo}
            choose={say.systems.aUnitEnteredHere}
            options={to.map(({ id, name }) => ({ value: id, label: name }))}
            form={form}
          />
        )}
        <TextField
          name="indoorModel"
          label={say.systems.indoorUnitModel}
          required={false}
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        <TextField
          name="indoorSerial"
          label={say.systems.indoorUnitSerial}
          required={false}
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        {props.system.flammable ? (
          <>
            <QuantityField
              name="roomFloorArea"
              label={say.systems.floorAreaOfThe}
              hint={say.systems.canBurnTheRoom(props.system.refrigerant)}
              required={false}
              quantity="area"
              units={AREA_UNITS}
              unit="m2"
              form={form}
            />
            <SelectField
              name="mounting"
              label={say.systems.indoorUnitIs}
              beside
              choose={say.systems.notSaid}
              options={mountings()}
              form={form}
            />
          </>
        ) : null}
        <details open={isOtherwise(form, start.jointKind)}>
          <summary>{say.systems.madeHereNewTubes(kindWords(start.jointKind))}</summary>
          <SelectField
            name="jointKind"
            label={say.systems.joints}
            beside
            options={jointKinds()}
            value={start.jointKind}
            form={form}
          />
          <SelectField
            name="jointOrigin"
            label={say.systems.itsEndsAre}
            beside
            options={origins()}
            value="field"
            form={form}
          />
          {props.branched ? (
            <SelectField
              name="branchIndoors?"
              label={say.systems.theBranchUnitIs}
              beside
              options={inside()}
              value="yes"
              form={form}
            />
          ) : null}
          <Tubes form={form} tubing="new" bare />
        </details>
        <Button>{say.systems.layItOut}</Button>
        <p class="why">{say.systems.itsJointsAreLaid}</p>
      </form>
    </Layout>
  )
}

export interface EditLineSetProps {
  shell: Shell
  system: { id: string; name: string }
  lineSet: LineSetView
  /** Units it could run to, while it runs to none. */
  to: readonly { id: string; name: string }[]
  form?: FormState | undefined
}

export function EditLineSet(props: EditLineSetProps): JSX.Element {
  const { form, lineSet, to } = props
  const { room } = lineSet
  return (
    <Layout {...props.shell} title={say.systems.change(lineSet.name)} width="narrow">
      <h1>{say.systems.changeLineSet(lineSet.name)}</h1>
      <p class="lead">{props.system.name}</p>
      <form method="post" action={`/line-sets/${lineSet.id}`}>
        <OtherErrors form={form} fields={FIELDS} />
        <TextField
          name="name"
          label={say.systems.roomOrZone}
          required
          maxlength={120}
          value={lineSet.name}
          form={form}
        />
        {to.length === 0 ? null : (
          <SelectField
            name="toUnitId"
            label={say.systems.itRunsTo}
            choose={say.systems.noUnitYet}
            options={to.map(({ id, name }) => ({ value: id, label: name }))}
            form={form}
          />
        )}
        {lineSet.sizesStay ? (
          <p class="why">{say.systems.liquidGasSizesStay(lineSet.liquidOd.label, lineSet.gasOd.label)}</p>
        ) : (
          <>
            <TubeSizes
              liquid={lineSet.liquidOd.value}
              gas={lineSet.gasOd.value}
              more={[lineSet.liquidOd, lineSet.gasOd]}
              form={form}
            />
            <SelectField
              name="jointKind"
              label={say.systems.joints}
              beside
              options={jointKinds()}
              value={lineSet.jointKind}
              form={form}
            />
          </>
        )}
        <QuantityField
          name="length"
          label={say.systems.lengthOneWay}
          required
          quantity="length"
          units={ELEVATION_UNITS}
          unit={lineSet.length?.unit ?? 'm'}
          value={number(lineSet.length)}
          form={form}
        />
        <Tubes
          form={form}
          open
          tubing={lineSet.tubing}
          rise={lineSet.rise}
          wall={lineSet.tubeWall}
          previous={lineSet.previousRefrigerant}
          cleaning={lineSet.cleaning}
        />
        <h2>{say.systems.theRoom}</h2>
        <QuantityField
          name="room.floorArea"
          label={say.systems.floorArea}
          hint={say.systems.askedForWithFlammable}
          required={false}
          quantity="area"
          units={AREA_UNITS}
          unit={room?.floorArea?.unit ?? 'm2'}
          value={number(room?.floorArea)}
          form={form}
        />
        <ChoiceField
          name="room.measured?"
          label={say.systems.whereIsTheArea}
          inline
          options={[
            { value: 'yes', label: say.systems.measuredOnSite },
            { value: 'no', label: say.systems.drawingOrEstimate },
          ]}
          value={room?.measured === true ? 'yes' : 'no'}
          form={form}
        />
        <SelectField
          name="room.mounting"
          label={say.systems.indoorUnitIs}
          beside
          choose={say.systems.notSaid}
          options={mountings()}
          value={room?.mounting ?? undefined}
          form={form}
        />
        <QuantityField
          name="room.releaseHeight"
          label={say.systems.lowestOpeningAboveThe}
          required={false}
          quantity="length"
          units={ELEVATION_UNITS}
          unit={room?.releaseHeight?.unit ?? 'm'}
          value={number(room?.releaseHeight)}
          form={form}
        />
        <SelectField
          name="room.method"
          label={say.systems.itIsJudged}
          options={methods()}
          value={room?.method ?? 'unventilated'}
          form={form}
        />
        <TextField
          name="room.document"
          label={say.systems.documentThatSaysSo}
          hint={say.systems.forTheManualsTable}
          required={false}
          maxlength={200}
          value={room?.document ?? undefined}
          form={form}
        />
        <TextField
          name="room.page"
          label={say.systems.page}
          required={false}
          maxlength={40}
          value={room?.page ?? undefined}
          form={form}
        />
        <div class="actions">
          <Button>{say.systems.keepTheChanges}</Button>
          <a class="button other" href={`/systems/${props.system.id}`}>
            {say.systems.leaveItAsIt}
          </a>
        </div>
      </form>
    </Layout>
  )
}

function TubeSizes(props: {
  liquid: string
  gas: string
  more?: readonly { value: string; label: string }[] | undefined
  form?: FormState | undefined
}): JSX.Element {
  const unlisted = (props.more ?? []).filter(({ value }) => !TUBE_SIZES.some((size) => size.value === value))
  const options = [...TUBE_SIZES, ...unlisted].map(({ value, label }) => ({ value, label }))
  return (
    <>
      <SelectField
        name="liquidOd"
        label={say.systems.liquidTube}
        beside
        options={options}
        value={props.liquid}
        form={props.form}
      />
      <SelectField
        name="gasOd"
        label={say.systems.gasTube}
        beside
        options={options}
        value={props.gas}
        form={props.form}
      />
    </>
  )
}

const kindWords = (kind: JointKind): string =>
  jointKinds()
    .find(({ value }) => value === kind)
    ?.label.replace(/,.*/, '') ?? say.systems.joints

/** Something was said that stands folded away. */
function isOtherwise(form: FormState | undefined, jointKind: JointKind): boolean | undefined {
  const { values, errors } = form ?? { values: {} as Record<string, string>, errors: [] }
  const folded = ['jointKind', 'jointOrigin', 'tubing', 'rise', 'tubeWall', 'previousRefrigerant', 'cleaning']
  const differs =
    (values.jointKind ?? jointKind) !== jointKind ||
    (values.jointOrigin ?? 'field') !== 'field' ||
    (values.tubing ?? 'new') !== 'new' ||
    (values['branchIndoors?'] ?? 'yes') !== 'yes' ||
    ['rise.value', 'tubeWall.value', 'previousRefrigerant', 'cleaning'].some((name) => values[name])
  return differs || errors.some(({ path }) => folded.includes(path.split('.')[0] ?? '')) || undefined
}

interface TubesProps {
  /** It stands in something that folds already. */
  bare?: boolean | undefined
  form?: FormState | undefined
  tubing: Tubing
  open?: boolean | undefined
  rise?: Typed | null | undefined
  wall?: Typed | null | undefined
  previous?: string | null | undefined
  cleaning?: string | null | undefined
}

function Tubes({ form, tubing, open, bare, rise, wall, previous, cleaning }: TubesProps): JSX.Element {
  const names = ['rise', 'tubeWall', 'previousRefrigerant', 'cleaning']
  const typed = names.some((name) => (form?.values[name] ?? form?.values[`${name}.value`] ?? '') !== '')
  const rest = (
    <>
      <QuantityField
        name="rise"
        label={say.systems.riseToTheIndoor}
        hint={say.systems.belowZeroWhenThe}
        required={false}
        quantity="length"
        units={ELEVATION_UNITS}
        unit={rise?.unit ?? 'm'}
        value={number(rise)}
        form={form}
      />
      <QuantityField
        name="tubeWall"
        label={say.systems.wallThickness}
        required={false}
        quantity="wall"
        units={WALL_UNITS}
        unit={wall?.unit ?? 'mm'}
        value={number(wall)}
        form={form}
      />
      <TextField
        name="previousRefrigerant"
        label={say.systems.refrigerantBeforeInReused}
        required={false}
        maxlength={60}
        value={previous ?? undefined}
        form={form}
      />
      <TextField
        name="cleaning"
        label={say.systems.howReusedTubesWere}
        required={false}
        maxlength={500}
        value={cleaning ?? undefined}
        form={form}
      />
    </>
  )
  return (
    <>
      <ChoiceField
        name="tubing"
        label={say.systems.tubing}
        inline
        options={[
          { value: 'new', label: say.systems.newWord },
          { value: 'reused', label: say.systems.reused },
        ]}
        value={tubing}
        form={form}
      />
      {bare === true ? (
        rest
      ) : (
        <details open={open === true || typed || (form?.errors.length ?? 0) > 0}>
          <summary>{say.systems.riseWallAndWhat}</summary>
          {rest}
        </details>
      )}
    </>
  )
}

const number = (typed: Typed | null | undefined): string | undefined =>
  typed == null ? undefined : String(Number(typed.value.toPrecision(9)))
