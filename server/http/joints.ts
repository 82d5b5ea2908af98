// A joint: where it sits, what was recorded of each making, what comes next, and its history.

import type { VNode } from 'preact'
import { JointPage, type JointPageProps } from '../../views/joints/show.tsx'
import type { StepFormProps, TorqueWanted } from '../../views/joints/step-forms.tsx'
import { STEP_TITLES } from '../../views/joints/step-words.ts'
import type { FormState } from '../../views/parts/field.tsx'
import type { StepItem } from '../../views/parts/steps.tsx'
import { unitOptions } from '../../views/section-tests/unit-options.ts'
import { may } from '../access/capabilities.ts'
import { newId } from '../ids.ts'
import type { Refusal } from '../refusals.ts'
import type { Joint, Make, Step, System } from '../rules/dossier.ts'
import { judgeInstrument } from '../rules/judge-instrument.ts'
import { type Judging, judgeTorqueStep, torqueRangeOf } from '../rules/judge-torque.ts'
import { currentMake, type NextStep, nextStep, stepsFor } from '../rules/scope.ts'
import { liesIn, staleForJoint } from '../rules/staleness.ts'
import { newtonMetres, span, tubeName } from '../rules/wording.ts'
import { listCrewPeople, loadSystems } from '../store/queries/dossier.ts'
import { listEntriesAbout } from '../store/queries/entries.ts'
import { listActiveInstruments } from '../store/queries/instruments.ts'
import { asInstrument, listInstrumentsById } from '../store/queries/instruments-used.ts'
import { findJob, type JobRow, listOpenJobsOfSystem } from '../store/queries/jobs.ts'
import { findJointRow, findMakeAtWork, type JointRow, type RecordedStep } from '../store/queries/joints.ts'
import { findPolicy } from '../store/queries/policy.ts'
import { findSystem } from '../store/queries/systems.ts'
import {
  formatNumber,
  formatQuantity,
  fromNewtonMetres,
  type TorqueUnit,
  UNIT_LABELS,
} from '../trade/units.ts'
import type { InstrumentKind } from '../vocabulary.ts'
import { instant, instantOrNull, quantityJson, whoJson } from './json.ts'
import { makeJson, stepJson, torqueJson } from './makes.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords, stripOf } from './strip-of.ts'

export function jointsResource(resource: Resource): void {
  resource.read({
    path: '/joints/:jointId',
    name: 'read-joint',
    summary: 'A joint with its makes, steps and what comes next.',
    load: (ask) => lookAt(ask, ask.params.jointId ?? ''),
    json: jointJson,
    page: (seen, ask) => jointPage(ask, seen),
  })

  resource.read({
    path: '/joints/:jointId/history',
    name: 'read-joint-history',
    summary: 'Everything that is known of a joint: makes, steps, tests that covered it, entries.',
    load: async (ask) => {
      const seen = await lookAt(ask, ask.params.jointId ?? '')
      return { seen, entries: await listEntriesAbout(ask.scope, seen.joint.id) }
    },
    json: ({ seen, entries }) => ({
      ...jointJson(seen),
      tests: testsOf(seen),
      entries: entries.map(({ at, deviceAt, ...entry }) => ({
        ...entry,
        at: instant(at),
        deviceAt: instantOrNull(deviceAt),
      })),
    }),
  })
}

/** A joint in its system, with what its torques are judged by. */
interface SeenJoint {
  row: JointRow
  system: System
  joint: Joint
  judging: Judging
  siteId: string
  now: number
}

async function lookAt(ask: Ask, jointId: string): Promise<SeenJoint> {
  const { scope } = ask
  const row = await findJointRow(scope, jointId)
  const { siteId } = await findSystem(scope, row.systemId)
  const [system] = await loadSystems(scope, { siteId }, [row.systemId])
  const joint = system?.joints.find((one) => one.id === jointId)
  if (!system || !joint) throw new Error('A joint without its system was found.')
  const wrenches = system.joints
    .flatMap((one) => one.makes.flatMap((make) => make.steps))
    .flatMap((step) => (step.kind === 'torque' && step.body.instrumentId ? [step.body.instrumentId] : []))
  return {
    row,
    system,
    joint,
    judging: {
      policy: (await findPolicy(scope)).criteria,
      sheet: system.sheet,
      instruments: await listInstrumentsById(scope, wrenches),
    },
    siteId,
    now: ask.now,
  }
}

function jointJson({ row, joint, judging }: SeenJoint) {
  const make = currentMake(joint)
  return {
    id: joint.id,
    systemId: row.systemId,
    tag: joint.tag,
    lineSetId: joint.lineSetId,
    unitId: joint.unitId,
    place: joint.place,
    line: joint.line,
    indoors: joint.indoors,
    tubeOd: quantityJson('length', joint.tubeOdM, 'mm'),
    kind: joint.kind,
    origin: joint.origin,
    retiredAt: instantOrNull(joint.retiredAt),
    steps: stepsFor(joint, judging.sheet, make),
    makes: joint.makes.map((one) => ({
      ...makeJson(one),
      current: one.id === make?.id,
      steps: one.steps.map((step) => judgedStepJson(step, joint, judging)),
    })),
    leakChecks: joint.leakChecks
      .filter((check) => check.makeId === null)
      .map((check) => stepJson(recorded(check))),
    next: make ? nextStep(joint, make, judging) : { step: null, reason: 'No making was started yet.' },
  }
}

const recorded = (step: Step) => step as RecordedStep

function judgedStepJson(step: Step, joint: Joint, judging: Judging) {
  const unit = (recorded(step).typed.reading?.unit ?? 'N.m') as TorqueUnit
  return {
    ...stepJson(recorded(step)),
    ...(step.kind === 'torque' ? torqueJson(judgeTorqueStep(joint, step.body, judging), unit) : {}),
  }
}

/** The tests that covered this joint, with why one no longer speaks for it. */
function testsOf({ system, joint }: SeenJoint) {
  const told =
    (kind: 'pressure-test' | 'evacuation') =>
    (test: System['pressureTests'][number] | System['evacuations'][number]) => ({
      id: test.id,
      kind,
      jobId: test.jobId,
      verdict: test.verdict,
      stale: staleForJoint(test, joint, system)?.reason ?? null,
      ...whoJson(test),
      concludedAt: instantOrNull(test.concludedAt),
    })
  const covering = <Test extends { covers: { kind: string; id: string }[] }>(tests: Test[]) =>
    tests.filter((test) => liesIn(test as never, joint))
  return [
    ...covering(system.pressureTests).map(told('pressure-test')),
    ...covering(system.evacuations).map(told('evacuation')),
  ]
}

/** The page with a form as it was filled in, and what stands against it. */
export async function jointPageAgain(
  ask: Ask,
  about: { jointId: string } | { makeId: string },
  form: FormState,
  refusal: Refusal,
): Promise<VNode> {
  const jointId =
    'jointId' in about ? about.jointId : (await findMakeAtWork(ask.scope, about.makeId)).joint.id
  return jointPage(ask, await lookAt(ask, jointId), form, refusal.message)
}

async function jointPage(ask: Ask, seen: SeenJoint, form?: FormState, note?: string): Promise<VNode> {
  const { joint, system, judging } = seen
  const job = await jobAtHand(ask, seen)
  const make = currentMake(joint)
  const next: NextStep = make ? nextStep(joint, make, judging) : { step: null, reason: '' }
  const mayRecord = job?.stage === 'open' && may(ask.actor, 'record-work')
  const people = new Map((await listCrewPeople(ask.scope)).map((person) => [person.id, person.name]))
  const who = (step: { performedBy: string; performedAt: number }) =>
    `${people.get(step.performedBy) ?? 'somebody'} · ${instant(step.performedAt).slice(11, 16)} UTC`
  const steps = make ? stepItems(joint, make, next, judging, who) : []
  const props: JointPageProps = {
    shell: shellOf(ask.actor, '/jobs'),
    joint: {
      id: joint.id,
      tag: joint.tag,
      lead: [
        system.lineSets.find((line) => line.id === joint.lineSetId)?.name,
        placeWords(joint),
        `${joint.line} line`,
        tubeName(joint.tubeOdM),
        joint.kind.replaceAll('-', ' '),
        make ? `making ${make.number}` : null,
        joint.origin === 'field' ? null : joint.origin,
      ]
        .filter(Boolean)
        .join(' · '),
    },
    job: job ? { id: job.id, stage: job.stage } : null,
    strip: stripOf(
      {
        ...system,
        lineSets: system.lineSets.filter((line) => !joint.lineSetId || line.id === joint.lineSetId),
      },
      { policy: judging.policy, instruments: [...judging.instruments], at: seen.now },
      {
        hrefOf: (one) => `/joints/${one.id}${job ? `?job=${job.id}` : ''}`,
        currentJointId: joint.id,
        caption: 'hidden',
      },
    ),
    steps,
    nextStep: mayRecord && make && next.step ? await stepForm(ask, seen, make, next, job.id, form) : null,
    nextReason: next.reason,
    newMake:
      mayRecord && joint.retiredAt === null
        ? {
            action: `/joints/${joint.id}/makes`,
            freshId: newId(),
            jobId: job.id,
            number: (make?.number ?? 0) + 1,
            wanted: make === null || (next.step === null && next.reason.includes('rejected')),
            form,
          }
        : null,
    others: neighbours(seen).map((one) => ({
      href: `/joints/${one.id}${job ? `?job=${job.id}` : ''}`,
      tag: one.tag,
      words: `${placeWords(one)}, ${one.line} line`,
    })),
    earlier: joint.makes
      .filter((one) => one.id !== make?.id)
      .map((one) => ({
        number: one.number,
        reason: joint.makes.find((later) => later.number === one.number + 1)?.reason ?? null,
        steps: one.steps.map((step) => `${summaryOf(step, joint, judging)} (${who(step)})`),
      })),
    note: note ?? null,
  }
  return JointPage(props)
}

/** The job that the address names, else the one open job on this system. */
async function jobAtHand(ask: Ask, { row }: SeenJoint): Promise<JobRow | null> {
  const named = ask.query.job
  if (named) return findJob(ask.scope, named)
  const [only, ...others] = await listOpenJobsOfSystem(ask.scope, row.systemId)
  return only && others.length === 0 ? only : null
}

/** The joints that still want something, nearest first: the other joint at this unit before the rest. */
function neighbours({ joint, system }: SeenJoint): Joint[] {
  const end = joint.place.split('-')[0]
  return system.joints
    .filter((one) => one.id !== joint.id && one.lineSetId === joint.lineSetId && one.retiredAt === null)
    .sort((a, b) => Number(b.place.startsWith(`${end}-`)) - Number(a.place.startsWith(`${end}-`)))
}

function stepItems(
  joint: Joint,
  make: Make,
  next: NextStep,
  judging: Judging,
  who: (step: Step) => string,
): StepItem[] {
  const items: StepItem[] = make.steps.map((step) => ({
    id: step.id,
    title: STEP_TITLES[step.kind],
    state: 'recorded',
    summary: summaryOf(step, joint, judging),
    who: who(step),
    ...outcomeOf(step, joint, judging),
  }))
  const later = stepsFor(joint, judging.sheet, make)
  const rest = next.step ? later.slice(later.indexOf(next.step)) : []
  for (const [index, kind] of rest.entries())
    items.push({ id: `${kind}-to-do`, title: STEP_TITLES[kind], state: index === 0 ? 'next' : 'later' })
  return items
}

function outcomeOf(step: Step, joint: Joint, judging: Judging): Pick<StepItem, 'outcome'> {
  if (step.kind === 'torque') {
    const { verdict } = judgeTorqueStep(joint, step.body, judging)
    return { outcome: verdict === 'in-range' ? 'met' : verdict === 'not-measured' ? 'open' : 'failed' }
  }
  if (step.kind === 'inspection') return { outcome: step.body.outcome === 'accepted' ? 'met' : 'failed' }
  if (step.kind === 'leak-check') return { outcome: step.body.result === 'none-found' ? 'met' : 'failed' }
  return {}
}

/** "Flared, powered, depth stop used" */
export function summaryOf(step: Step, joint: Joint, judging: Judging): string {
  switch (step.kind) {
    case 'preparation':
      return `Prepared${pointsWords(step.body.points)}`
    case 'flare':
      return `Flared, ${step.body.method.replaceAll('-', ' ')}, depth stop ${step.body.depthStopUsed ? 'used' : 'not used'}`
    case 'brazing':
      return `Brazed, nitrogen ${step.body.nitrogenFlow ? 'flowed' : 'did not flow'}`
    case 'pressing':
      return `Pressed, jaw ${step.body.jawSize}`
    case 'inspection': {
      const { outerDiameterM, outcome, points } = step.body
      const size = outerDiameterM === null ? '' : ` · ${formatQuantity(outerDiameterM * 1000, 'mm')}`
      return `Inspected, ${outcome}${size}${pointsWords(points)}`
    }
    case 'assembly':
      return `Assembled${pointsWords(step.body.points)}`
    case 'torque': {
      const judgement = judgeTorqueStep(joint, step.body, judging)
      const range = judgement.range ? ` in ${span(judgement.range.lowNm, judgement.range.highNm, 'N.m')}` : ''
      return judgement.appliedNm === null
        ? judgement.reason
        : `Torque ${newtonMetres(judgement.appliedNm)}, ${judgement.verdict.replaceAll('-', ' ')}${judgement.verdict === 'in-range' ? range.replace(' in ', ': ') : ''}`
    }
    case 'closing':
      return `Closed${pointsWords(step.body.points)}`
    case 'leak-check':
      return `Leak check, ${step.body.method.replaceAll('-', ' ')}: ${step.body.result.replaceAll('-', ' ')}`
  }
}

function pointsWords({
  answers,
  allAsListed,
}: {
  answers: Record<string, string>
  allAsListed: boolean
}): string {
  if (allAsListed) return ', all as listed'
  const otherwise = Object.values(answers).filter((answer) => answer !== 'yes').length
  return otherwise === 0
    ? ', each point yes'
    : `, ${otherwise} point${otherwise === 1 ? '' : 's'} not as listed`
}

async function stepForm(
  ask: Ask,
  seen: SeenJoint,
  make: Make,
  next: NextStep,
  jobId: string,
  form?: FormState,
): Promise<JointPageProps['nextStep']> {
  const kind = next.step
  if (!kind) return null
  const rows = await listActiveInstruments(ask.scope, [
    'torque-wrench',
    'flaring-tool',
    'press-tool',
    'leak-detector',
  ])
  const isConfirmed = (row: (typeof rows)[number]) =>
    judgeInstrument(
      asInstrument(row, row.calibrations),
      [{ at: ask.now, evidenceId: '', triedOnTheDay: false }],
      seen.judging.policy,
    ).confirmed
  const choices = (wanted: InstrumentKind) =>
    rows
      .filter((row) => row.kind === wanted)
      .map((row) => ({
        value: row.id,
        label: `${row.name}, ${isConfirmed(row) ? 'confirmed' : 'not confirmed'}`,
      }))
  const torque = kind === 'torque' ? torqueWanted(seen) : null
  return {
    title: STEP_TITLES[kind],
    why: whyOf(kind, next, torque, seen),
    form: {
      kind,
      action: `/makes/${make.id}/${kind}`,
      freshId: newId(),
      jobId,
      form,
      instruments: {
        flaringTools: choices('flaring-tool'),
        wrenches: choices('torque-wrench'),
        pressTools: choices('press-tool'),
        detectors: choices('leak-detector'),
      },
      units: {
        torque: unitOptions('torque', ['N.m', 'ft.lbf', 'in.lbf', 'kgf.cm']),
        length: unitOptions('length', ['mm', 'in']),
        pressure: unitOptions('gauge-pressure', ['MPa', 'psi', 'bar']),
      },
      torque: torque?.wanted ?? null,
      lubrication: seen.system.sheet?.flareLubrication ?? null,
    } satisfies StepFormProps,
  }
}

interface Wanted {
  wanted: TorqueWanted
  sentence: string
}

/** Every joint's own range, in the unit that the sheet and the wrench speak: N·m. */
function torqueWanted({ joint, judging, system }: SeenJoint): Wanted | null {
  const range = torqueRangeOf(joint, system.sheet, judging.policy)
  if (!range) return null
  const unit = 'N.m' as const
  const low = fromNewtonMetres(range.lowNm, unit)
  const high = fromNewtonMetres(range.highNm, unit)
  return {
    wanted: { low, high, unit, unitLabel: UNIT_LABELS[unit], accuracyPercent: 4 },
    sentence: `Wanted: ${formatNumber(low)}–${formatNumber(high)} N·m (${range.source}). Set the wrench to ${formatNumber((low + high) / 2)} N·m.`,
  }
}

function whyOf(kind: string, next: NextStep, torque: Wanted | null, { system }: SeenJoint): string {
  if (kind === 'torque')
    return `Hold the body with a second wrench. ${torque?.sentence ?? 'Neither the sheet nor the built-in sets have a range for this joint.'} ${next.reason === 'Torque the nut.' ? '' : next.reason}`
  if (kind === 'assembly' && system.sheet?.flareLubrication)
    return `The sheet says: ${system.sheet.flareLubrication.replaceAll('-', ' ')}.`
  const why: Record<string, string> = {
    preparation: 'A crooked cut or a burr becomes a leak. Tap a line only if it is not so.',
    flare: 'The tool forms the seal; the depth stop sets how far the tube stands out.',
    inspection: 'Look at the whole face in good light before the nut goes up.',
    assembly: 'Oil the faces, keep threads and inside dry, start the nut by hand.',
    'leak-check': 'Bubbles at test pressure find what a hold test cannot see.',
  }
  return kind === 'inspection' && next.reason.startsWith('The torque was')
    ? next.reason
    : (why[kind] ?? next.reason)
}
