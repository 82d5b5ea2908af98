// How does every part look in each of its states? Sample data, all invented.

import type { ComponentChildren, JSX } from 'preact'
import { Layout } from './layout.tsx'
import { Button } from './parts/button.tsx'
import { Caution } from './parts/caution.tsx'
import { Clock } from './parts/clock.tsx'
import { DecayPlot } from './parts/decay-plot.tsx'
import { Empty } from './parts/empty.tsx'
import { Facts } from './parts/facts.tsx'
import {
  AreaField,
  CheckField,
  ChoiceField,
  type FormState,
  fieldId,
  OtherErrors,
  PhotoField,
  QuantityField,
  SelectField,
  TextField,
} from './parts/field.tsx'
import { type FindingItem, FindingList } from './parts/finding-list.tsx'
import { Flash } from './parts/flash.tsx'
import { JudgedNumber, type JudgedNumberProps } from './parts/judged-number.tsx'
import { LiveRange } from './parts/live-range.tsx'
import type { JointState } from './parts/mark.tsx'
import { Pager } from './parts/pager.tsx'
import { PipeStrip, type PipeStripJoint, type PipeStripLineSet } from './parts/pipe-strip.tsx'
import { PointList } from './parts/point-list.tsx'
import { PressurePlot } from './parts/pressure-plot.tsx'
import { Stage } from './parts/stage.tsx'
import { Steps } from './parts/steps.tsx'
import { Tag } from './parts/tag.tsx'
import { When } from './parts/when.tsx'

const TORQUE_UNITS = [
  { value: 'N.m', label: 'N·m', factor: 1 },
  { value: 'ft.lbf', label: 'ft·lbf', factor: 1.3558179 },
]

const WORDS: Record<JointState, string> = {
  'not-begun': '',
  begun: 'assembled, torque is next',
  done: 'torque in range',
  refused: 'torque 19.0 N·m, above 14–18',
  stale: 'remade after the test of Tuesday',
  factory: '',
  retired: 'cut out with the old tube',
}

export interface SampleSet {
  name: string
  states: readonly JointState[]
  gas?: string
  detail?: string
  from?: string
  to?: string
  couplings?: number
  ports?: boolean
}

/** Line sets with four joints each, and couplings or ports where asked for. */
export function sampleLineSets(sets: readonly SampleSet[], tag: string, here?: string): PipeStripLineSet[] {
  let number = 0
  return sets.map((set, index) => {
    const make = (line: 'liquid' | 'gas', at: number, place: string, state: JointState, onStub = false) => {
      number += 1
      const joint: PipeStripJoint = {
        id: `j${number}`,
        tag: `${tag}-${number}`,
        place,
        line,
        at,
        onStub,
        state,
        current: `${tag}-${number}` === here,
        href: `#${tag}-${number}`,
        words: WORDS[state],
      }
      return joint
    }
    const start = set.from === undefined ? 'outdoor end' : 'branch end'
    const end = set.to === undefined ? 'indoor end' : 'branch end'
    const at = (position: number): JointState => set.states[position] ?? 'not-begun'
    const joints = [
      make('liquid', 0, start, at(0)),
      make('gas', 0, start, at(1)),
      make('liquid', 1, end, at(2)),
      make('gas', 1, end, at(3)),
      ...Array.from({ length: set.couplings ?? 0 }, (_, k) =>
        make(
          'gas',
          (k + 1) / ((set.couplings ?? 0) + 1),
          `coupling ${k + 1}`,
          k === 0 ? 'factory' : 'not-begun',
        ),
      ),
      ...(set.ports === true
        ? [
            make('gas', 0.05, 'service port', 'not-begun', true),
            make('gas', 0.05, 'valve cap', 'done', true),
            make('liquid', 0.05, 'valve cap', 'done', true),
          ]
        : []),
    ]
    return {
      id: `set-${tag}-${index}`,
      name: set.name,
      detail: set.detail ?? 'wall',
      liquidLabel: 'liquid 1/4',
      gasLabel: `gas ${set.gas ?? '3/8'}`,
      lengthLabel: `${(6.4 + index * 2.1).toFixed(1)} m`,
      from: set.from,
      to: set.to,
      joints,
    }
  })
}

const four: readonly SampleSet[] = [
  { name: 'Hall', states: ['done', 'done', 'done', 'done'] },
  { name: 'Nursery', states: ['done', 'done', 'done', 'stale'] },
  { name: 'Kitchen', states: ['done', 'done', 'refused', 'done'], gas: '1/2' },
  { name: 'Attic', states: ['not-begun', 'not-begun', 'begun', 'not-begun'] },
]

const judged: readonly JudgedNumberProps[] = [
  {
    label: 'Torque at the nut',
    value: '38.4',
    unit: 'N·m',
    at: 38.4,
    low: 34,
    high: 42,
    uncertainty: 1.5,
    verdict: 'In range',
    outcome: 'met',
    also: '28.3 ft·lbf',
    source: 'equipment sheet, page 12',
  },
  {
    label: 'Torque at the nut',
    value: '19.0',
    unit: 'N·m',
    at: 19,
    low: 14,
    high: 18,
    uncertainty: 0.8,
    verdict: 'Above the range',
    outcome: 'failed',
    also: '14.0 ft·lbf',
    source: 'equipment sheet, page 12',
  },
  {
    label: 'Torque at the nut',
    value: '190',
    unit: 'N·m',
    at: 190,
    low: 14,
    high: 18,
    verdict: 'Far above the range',
    outcome: 'failed',
  },
  {
    label: 'Highest pressure while isolated',
    value: '730',
    unit: 'micron',
    at: 730,
    high: 1500,
    uncertainty: 40,
    verdict: 'Below the limit',
    outcome: 'met',
  },
  {
    label: 'Room',
    value: '22',
    unit: 'm²',
    at: 22,
    low: 11.4,
    verdict: 'Large enough',
    outcome: 'met',
    source: 'sheet table, page 31',
  },
  {
    label: 'Change of pressure in the hold',
    value: '−18',
    unit: 'kPa',
    at: -18,
    low: -41.5,
    high: 41.5,
    whisker: { low: -63, high: 27 },
    verdict: 'Cannot tell',
    outcome: 'open',
  },
]

const findings: readonly FindingItem[] = [
  {
    id: 'joint-torque-in-range-11',
    requirement: 'joint-torque-in-range',
    title: 'Torque in range',
    subject: 'Joint SM9-11, Kitchen, indoor end, liquid line',
    subjectHref: '#SM9-11',
    outcome: 'failed',
    reason: '19.0 N·m is above 14–18 N·m for 1/4 in.',
    decisionRule: 'simple acceptance',
    source: 'the equipment sheet, page 12',
    numbers: [judged[1] as JudgedNumberProps],
    nextAction: 'Loosen, inspect flare and nut, then torque again or remake.',
    nextHref: '#SM9-11',
    evidence: [{ label: 'torque by Ines, 10:52', href: '#entry-41' }],
    aboutHref: '#about-torque',
  },
  {
    id: 'standing-pressure-held-1',
    requirement: 'standing-pressure-held',
    title: 'Standing pressure held',
    subject: 'Nursery',
    outcome: 'open',
    reason: 'Joint SM9-8 was remade after the test of Tuesday: that test no longer counts.',
    nextAction: 'Test the Nursery line again.',
    nextHref: '#tests',
    aboutHref: '#about-pressure',
  },
  {
    id: 'every-joint-made-4',
    requirement: 'every-joint-made',
    title: 'Every joint made',
    subject: 'Attic',
    outcome: 'open',
    reason: '3 of 4 joints have no making.',
    nextAction: 'Record them, or leave them out of this job with a reason.',
    aboutHref: '#about-made',
  },
  {
    id: 'joint-torque-in-range-3',
    requirement: 'joint-torque-in-range',
    title: 'Torque in range',
    subject: 'Joint SM9-3, Hall, indoor end, liquid line',
    outcome: 'requested',
    reason: 'Tightened by angle, as the equipment manual says; no number was read.',
    nextAction: 'A manager grants or refuses the concession.',
    aboutHref: '#about-torque',
  },
  {
    id: 'evidence-attached-1',
    requirement: 'evidence-attached',
    title: 'Photos attached',
    subject: 'Unit plate, outdoor, yard',
    outcome: 'conceded',
    reason: 'Conceded by Ottoline: the plate is behind the wall bracket; the serial was read by mirror.',
    aboutHref: '#about-photos',
  },
  {
    id: 'vacuum-held-1',
    requirement: 'vacuum-held',
    title: 'Vacuum held',
    subject: 'Hall, Kitchen',
    outcome: 'met',
    reason: '310 → 730 micron in 16 min, saturating; limit 1500.',
    numbers: [judged[3] as JudgedNumberProps],
    aboutHref: '#about-vacuum',
  },
  {
    id: 'charge-matches-1',
    requirement: 'charge-matches',
    title: 'Charge matches',
    subject: 'System SM9',
    outcome: 'met',
    reason: 'Wanted 1.42 kg, weighed 1.41 ± 0.01 kg.',
    aboutHref: '#about-charge',
  },
  {
    id: 'braze-purged-1',
    requirement: 'braze-purged',
    title: 'Nitrogen flowed while brazing',
    subject: 'System SM9',
    outcome: 'not-applicable',
    reason: 'Nothing was brazed in this job.',
    aboutHref: '#about-brazing',
  },
]

const preparation = [
  { code: 'squareCut', label: 'Cut square' },
  { code: 'deburred', label: 'Deburred', why: 'opening facing down' },
  { code: 'burrsKeptOut', label: 'Burrs kept out', why: 'plugged or wiped' },
  { code: 'tubeClean', label: 'Tube clean and dry inside' },
  { code: 'nutOn', label: 'Nut on, the right way round' },
]

const torqueForm: FormState = { values: {}, errors: [], scope: 'g1' }
const wrongForm: FormState = {
  values: {
    'reading.value': '3x8',
    'reading.unit': 'ft.lbf',
    reason: '',
    'points.deburred': 'no',
    'reasons.deburred': '',
  },
  errors: [
    { path: 'reading.value', message: '“3x8” is not a number. Type it like 38.4 or 38,4.' },
    { path: 'reason', message: 'Say why this joint is made again.' },
    { path: 'reasons.deburred', message: 'Say why it is not deburred.' },
    { path: 'instrumentId', message: 'Choose the wrench you used.' },
    { path: 'sealed', message: 'The job was sealed while you typed. Ask a manager to open it again.' },
  ],
  scope: 'g2',
}

export function saturating(minutes: number): number {
  return 310 + 420 * (1 - Math.exp(-minutes / 6))
}

const decayReadings = Array.from({ length: 17 }, (_, minutes) => {
  const pressure = Math.round(saturating(minutes) + ((minutes % 3) - 1) * 9)
  return {
    minutes,
    phase: 'decay' as const,
    absolutePressure: pressure,
    pressureTyped: `${pressure} micron`,
    temperatureTyped: '21.5 °C',
    atWords: `15:${String(10 + minutes).padStart(2, '0')}`,
  }
})

const pullReadings = [
  { minutes: -42, absolutePressure: 760000 },
  { minutes: -36, absolutePressure: 41000 },
  { minutes: -28, absolutePressure: 5200 },
  { minutes: -18, absolutePressure: 1400 },
  { minutes: -8, absolutePressure: 520 },
  { minutes: -1, absolutePressure: 305 },
].map((one) => ({ ...one, phase: 'pull' as const, pressureTyped: `${one.absolutePressure} micron` }))

const holdReadings = [
  { minutes: -14, stage: 'raise' as const, gaugePressure: 0.5 },
  { minutes: -9, stage: 'raise' as const, gaugePressure: 1.5 },
  { minutes: -4, stage: 'raise' as const, gaugePressure: 4.17 },
  { minutes: 10, stage: 'hold' as const, gaugePressure: 4.15 },
  { minutes: 25, stage: 'hold' as const, gaugePressure: 4.13 },
  { minutes: 45, stage: 'hold' as const, gaugePressure: 4.115 },
  { minutes: 75, stage: 'hold' as const, gaugePressure: 4.1 },
].map((one) => ({
  ...one,
  uncertainty: one.stage === 'hold' ? 0.012 : undefined,
  pressureTyped: `${one.gaugePressure} MPa`,
  temperatureTyped: one.stage === 'hold' ? `${(22 - one.minutes / 40).toFixed(1)} °C` : undefined,
}))

function Section(props: { id: string; title: string; children: ComponentChildren }): JSX.Element {
  return (
    <section class="sheet" id={props.id} aria-labelledby={`${props.id}-h`}>
      <h2 id={`${props.id}-h`}>{props.title}</h2>
      {props.children}
    </section>
  )
}

/** The technician's page with the parts at work: the joint, with torque as the next step. */
export function SampleJointPage(): JSX.Element {
  return (
    <Layout
      title="Joint SM4-4"
      company="Saltmarsh Heat & Cool"
      person="Ines"
      roleWords="technician"
      nav={[
        { href: '#jobs', label: 'Jobs', current: true },
        { href: '#instruments', label: 'Instruments' },
      ]}
      width="narrow"
    >
      <h1>
        Joint <Tag tag="SM4-4" />
      </h1>
      <p class="lead">Study · indoor end · gas line · 3/8 in · flare, making 1</p>
      <PipeStrip
        label="Study line set"
        outdoor={{ name: 'Outdoor, north wall' }}
        lineSets={sampleLineSets(
          [{ name: 'Study', detail: 'wall, 22 m²', states: ['done', 'done', 'done', 'begun'] }],
          'SM4',
          'SM4-4',
        )}
        caption="hidden"
      />
      <TorqueSteps foldRecorded />
    </Layout>
  )
}

function TorqueSteps(props: { foldRecorded?: boolean }): JSX.Element {
  return (
    <Steps
      label="Steps of joint SM4-4"
      foldRecorded={props.foldRecorded}
      steps={[
        {
          id: 'preparation',
          title: 'Preparation',
          state: 'recorded',
          summary: 'Prepared, all as listed',
          who: 'Ines · 10:42',
        },
        {
          id: 'flare',
          title: 'Flare',
          state: 'recorded',
          summary: 'Flared, powered, depth stop used',
          who: 'Ines · 10:45',
        },
        {
          id: 'inspection',
          title: 'Inspection',
          state: 'recorded',
          summary: 'Inspected, accepted · 13.0 mm in 12.8–13.2',
          who: 'Ines · 10:46',
          outcome: 'met',
          children: (
            <JudgedNumber
              label="Flare diameter"
              value="13.0"
              unit="mm"
              at={13}
              low={12.8}
              high={13.2}
              verdict="In the band"
              outcome="met"
              source="JIS B 8607 class 2"
            />
          ),
        },
        {
          id: 'assembly',
          title: 'Assembly',
          state: 'recorded',
          summary: 'Assembled, all as listed',
          who: 'Ines · 10:49',
        },
        {
          id: 'torque',
          title: 'Torque',
          state: 'next',
          why: (
            <>
              Hold the body with a second wrench. Wanted: <b>34–42 N·m</b> (equipment sheet, page 12). Set the
              wrench to <b>38 N·m</b>.
            </>
          ),
          children: (
            <form method="post" action="#torque">
              <Caution harm="pressure">Never tighten or loosen a joint under test pressure.</Caution>
              <QuantityField
                name="reading"
                label="What the wrench read"
                quantity="torque"
                units={TORQUE_UNITS}
                unit="N.m"
                form={torqueForm}
                large
              />
              <LiveRange
                for={fieldId('reading', torqueForm)}
                label="Torque"
                low={34}
                high={42}
                unit="N.m"
                unitLabel="N·m"
                accuracyPercent={4}
                words={{
                  within: 'In range.',
                  below: 'Below the range. Record it, then bring it up.',
                  above: 'Above the range. Record it; flare and nut are then inspected.',
                }}
              />
              <SelectField
                name="instrumentId"
                label="Wrench"
                beside
                form={torqueForm}
                value="w7"
                options={[
                  { value: 'w7', label: 'Wrench 7, confirmed until 2 March' },
                  { value: 'w9', label: 'Wrench 9, not confirmed', disabled: true },
                ]}
              />
              <Button>Record torque</Button>
            </form>
          ),
        },
        { id: 'leak-check', title: 'Leak check', state: 'later' },
      ]}
    />
  )
}

export function Gallery(props: { since?: string; now?: string }): JSX.Element {
  const states: readonly JointState[] = [
    'not-begun',
    'begun',
    'done',
    'refused',
    'stale',
    'factory',
    'retired',
    'done',
  ]
  return (
    <Layout
      title="Gallery of parts"
      company="Saltmarsh Heat & Cool"
      person="Ottoline"
      roleWords="service manager"
      nav={[
        { href: '#jobs', label: 'Jobs', current: true },
        { href: '#worklist', label: 'Worklist' },
        { href: '#search', label: 'Find a joint' },
        { href: '#instruments', label: 'Instruments' },
        { href: '#sites', label: 'Sites' },
      ]}
      waiting="3 entries wait on this phone. They go out when the network is back."
      signOut="#sign-out"
      flash={<Flash kind="done">Torque of joint SM9-10: 38.4 N·m, in range.</Flash>}
    >
      <h1>Lantern Row 14</h1>
      <p class="lead">
        Installation · four zones · <Stage stage="submitted" since="since yesterday 16:05" /> · Ines, Tomo
      </p>
      <div class="two">
        <Section id="hold" title="What holds this job">
          <FindingList findings={findings} />
        </Section>
        <Section id="piped" title="As piped">
          <PipeStrip
            label="System SM9, as piped"
            outdoor={{ name: 'Outdoor, yard' }}
            lineSets={sampleLineSets(four, 'SM9', 'SM9-15')}
          />
        </Section>
      </div>
      <div class="two even">
        <Section id="branch" title="With a branch unit">
          <PipeStrip
            label="System SM12, as piped"
            outdoor={{ name: 'Outdoor, flat roof', detail: 'two fans' }}
            branches={[{ id: 'b1', name: 'Branch box, landing', detail: 'three ports' }]}
            lineSets={sampleLineSets(
              [
                {
                  name: 'Landing',
                  states: ['done', 'done', 'done', 'done'],
                  to: 'b1',
                  gas: '5/8',
                  ports: true,
                },
                { name: 'North bedroom', states: ['done', 'done', 'begun', 'not-begun'], from: 'b1' },
                {
                  name: 'Sewing room',
                  states: ['done', 'refused', 'done', 'done'],
                  from: 'b1',
                  couplings: 2,
                },
                { name: 'Conservatory', detail: 'floor, 31 m²', states: ['done', 'done', 'done', 'done'] },
              ],
              'SM12',
            )}
          />
        </Section>
        <Section id="marks" title="Every mark, ports and couplings">
          <PipeStrip
            label="System SM7, as piped"
            outdoor={{ name: 'Outdoor, north wall' }}
            lineSets={sampleLineSets(
              [
                { name: 'Study', states: states.slice(0, 4), ports: true },
                { name: 'Living room with the long name', states: states.slice(4), couplings: 4 },
              ],
              'SM7',
            )}
          />
          <h3>Small, for lists</h3>
          <PipeStrip
            size="small"
            label="System SM9"
            outdoor={{ name: 'Outdoor, yard' }}
            lineSets={sampleLineSets(four, 'SM9')}
          />
        </Section>
      </div>
      <div class="two even">
        <Section id="steps" title="Steps of a joint">
          <TorqueSteps />
        </Section>
        <div>
          <Section id="points" title="A point list">
            <form method="post" action="#preparation">
              <PointList
                legend="Preparation"
                points={preparation}
                form={{ values: {}, errors: [], scope: 'g3' }}
              />
            </form>
          </Section>
          <Section id="wrong" title="A form that came back">
            <form method="post" action="#again">
              <OtherErrors
                form={wrongForm}
                fields={['reading', 'reason', 'instrumentId', 'reasons', 'points']}
              />
              <QuantityField
                name="reading"
                label="What the wrench read"
                quantity="torque"
                units={TORQUE_UNITS}
                unit="N.m"
                form={wrongForm}
              />
              <SelectField
                name="instrumentId"
                label="Wrench"
                form={wrongForm}
                choose="Choose a wrench"
                options={[{ value: 'w7', label: 'Wrench 7, confirmed until 2 March' }]}
              />
              <PointList
                legend="Preparation"
                points={preparation.slice(0, 3)}
                form={wrongForm}
                markedLabel="Record with the exception"
              />
              <AreaField
                name="reason"
                label="Why is it made again?"
                hint="One sentence; it stays in the history."
                form={wrongForm}
                required
              />
              <Button>Begin making 2</Button>
              <Button kind="other" name="leave" value="true" unchecked>
                Leave it for now
              </Button>
              <Button kind="refuse">Drop this entry</Button>
            </form>
          </Section>
        </div>
      </div>
      <Section id="numbers" title="Judged numbers">
        <div class="two even">
          {judged.map((one) => (
            <JudgedNumber key={`${one.label}${one.value}`} {...one} />
          ))}
        </div>
      </Section>
      <div class="two even">
        <Section id="pressure" title="Standing pressure, Hall and Kitchen">
          <p class="why">
            <b>Holds.</b> The fall is what the cooling alone makes. A leak of more than 2.4 kg a year would
            have shown.
          </p>
          <Clock
            label="Holding for"
            since={props.since ?? '2026-03-04T15:10:00.000Z'}
            now={props.now ?? '2026-03-04T16:25:00.000Z'}
            enoughMinutes={60}
            enoughWords="of 60 min"
          />
          <PressurePlot
            id="plot-pressure"
            title="Pressure test of Hall and Kitchen"
            unit="MPa"
            readings={holdReadings}
            expected={[10, 25, 45, 75].map((minutes) => ({
              minutes,
              low: 4.15 - (minutes - 10) * 0.0007 - 0.018,
              high: 4.15 - (minutes - 10) * 0.0007 + 0.018,
            }))}
            fitted={[
              { minutes: 10, gaugePressure: 4.15 },
              { minutes: 75, gaugePressure: 4.1 },
            ]}
            testPressure={{ value: 4.15, label: 'test pressure 4.15' }}
            limit={{ value: 4.3, label: 'limit 4.30' }}
            longEnough={{ minutes: 60, label: '60 min' }}
            verdict="Holds."
          />
        </Section>
        <Section id="decay" title="Evacuation, Hall and Kitchen">
          <p class="why">
            <b>Tight.</b> The curve flattens at about 730 micron, below the limit of 1500. A steady leak of
            more than 40 g a day would have shown.
          </p>
          <DecayPlot
            id="plot-decay"
            title="Decay of Hall and Kitchen"
            unit="micron"
            readings={[...pullReadings, ...decayReadings]}
            fitted={{
              label: 'saturating curve that fits best',
              points: Array.from({ length: 41 }, (_, i) => ({
                minutes: i / 2,
                absolutePressure: saturating(i / 2),
              })),
            }}
            target={{ value: 500, label: 'target 500 before isolating' }}
            limit={{ value: 1500, label: 'limit 1500' }}
            longEnough={{ minutes: 10, label: '10 min' }}
            verdict="Tight."
          />
          <DecayPlot
            id="plot-run"
            title="The whole evacuation of Hall and Kitchen"
            unit="micron"
            wholeRun
            readings={[...pullReadings, ...decayReadings]}
            target={{ value: 500, label: 'target 500 before isolating' }}
            limit={{ value: 1500, label: 'limit 1500' }}
          />
          <DecayPlot
            id="plot-one"
            title="Decay with one reading"
            unit="micron"
            readings={decayReadings.slice(0, 1)}
            limit={{ value: 1500, label: 'limit 1500' }}
          />
        </Section>
      </div>
      <div class="two even">
        <Section id="fields" title="Fields">
          <form method="post" action="#site">
            <TextField name="customerName" label="Customer" autocomplete="off" />
            <TextField
              name="contact"
              label="Telephone"
              type="tel"
              required={false}
              hint="Only the office sees it."
            />
            <TextField name="performedAt" label="When it was done" type="datetime-local" />
            <QuantityField
              name="length"
              label="Length"
              quantity="length"
              units={[{ value: 'm', label: 'm' }]}
              unit="m"
              value="11.2"
            />
            <ChoiceField
              name="mounting"
              label="Where the indoor unit hangs"
              value="wall"
              inline
              options={[
                { value: 'floor', label: 'Floor' },
                { value: 'wall', label: 'Wall', note: '1.8 m' },
                { value: 'ceiling', label: 'Ceiling' },
              ]}
            />
            <CheckField name="witnessMark" label="I drew a line across nut and body" />
            <PhotoField name="photo" label="Photo of the flare" several />
            <Button>Keep</Button>
          </form>
        </Section>
        <div>
          <Section id="said" title="What is said">
            <Flash kind="needs-you">The vacuum gauge of van 2 is due on Friday.</Flash>
            <Flash kind="refused">Only the manager may sign this job off.</Flash>
            <Caution harm={['oxygen', 'pressure']}>
              Nitrogen only, never oxygen or air: oil and oxygen explode. Back the regulator off before you
              open the cylinder.
            </Caution>
            <Caution harm="electricity" comesFirst={false}>
              Isolate, lock out, wait the time on the label and measure.
            </Caution>
            <Empty title="No jobs yet" action={{ href: '#new', label: 'Open a job' }}>
              A job is one visit's work on one or more systems of a site.
            </Empty>
          </Section>
          <Section id="facts" title="What we know">
            <Facts
              facts={[
                { label: 'Joint', value: <Tag tag="SM4-4" href="#SM4-4" /> },
                {
                  label: 'Signed off',
                  value: <When at="2026-03-04T15:10:00.000Z" zone="Europe/Lisbon" offset />,
                },
                { label: 'Wrench', value: 'Wrench 7', note: 'confirmed until 2 March' },
              ]}
            />
            <ul>
              <li>
                <Stage stage="open" />
              </li>
              <li>
                <Stage stage="open" after="sent-back" since="since Monday" />
              </li>
              <li>
                <Stage stage="open" after="reopened" />
              </li>
              <li>
                <Stage stage="submitted" />
              </li>
              <li>
                <Stage stage="sealed" />
              </li>
            </ul>
            <table class="stack">
              <thead>
                <tr>
                  <th scope="col">Job</th>
                  <th scope="col">Waits</th>
                  <th scope="col" class="figure">
                    Joints
                  </th>
                </tr>
              </thead>
              <tbody>
                <tr>
                  <th scope="row">
                    <a href="#job-1">Lantern Row 14</a>
                  </th>
                  <td data-label="Waits">since yesterday 16:05</td>
                  <td data-label="Joints" class="figure">
                    16
                  </td>
                </tr>
                <tr>
                  <th scope="row">
                    <a href="#job-2">Tide Mill, upper flat</a>
                  </th>
                  <td data-label="Waits">since Monday</td>
                  <td data-label="Joints" class="figure">
                    4
                  </td>
                </tr>
              </tbody>
            </table>
            <Pager of="jobs" shown="Jobs 51 to 100" firstHref="#first" nextHref="#next" />
          </Section>
        </div>
      </div>
    </Layout>
  )
}
