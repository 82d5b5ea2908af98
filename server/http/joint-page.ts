// How is a joint's page put together: the drawing, the recorded steps, the next one?

import type { VNode } from 'preact'
import { causeWords } from '../../views/callbacks/words.ts'
import { JointPage, type JointPageProps } from '../../views/joints/show.tsx'
import { stepTitles } from '../../views/joints/step-words.ts'
import type { FormState } from '../../views/parts/field.tsx'
import type { StepItem } from '../../views/parts/steps.tsx'
import { may } from '../access/capabilities.ts'
import { newId } from '../ids.ts'
import type { Refusal } from '../refusals.ts'
import type { Joint, Make, Step } from '../rules/dossier.ts'
import { judgeLeakCheck } from '../rules/judge-leak-check.ts'
import { type Judging, judgeTorqueStep } from '../rules/judge-torque.ts'
import { currentMake, isPort, type NextStep, nextStep, stepsFor, whyNotNow } from '../rules/scope.ts'
import { newtonMetres, span, tubeName } from '../rules/wording.ts'
import { listAuditThreadsAbout } from '../store/queries/audit.ts'
import { listCallbacksOfJoint } from '../store/queries/callbacks.ts'
import { listCrewPeople } from '../store/queries/dossier.ts'
import { findJob, type JobRow, listJobEvents, listOpenJobsOfSystem } from '../store/queries/jobs.ts'
import { findMakeAtWork, type RecordedStep } from '../store/queries/joints.ts'
import { formatQuantity, type TorqueUnit } from '../trade/units.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { threadItems } from './audit-threads.ts'
import { correctedFact, withCorrections } from './correction-form.ts'
import { membersInWords } from './correction-notes.ts'
import { explainTorque } from './explanations.ts'
import { checkForm, laterSteps, partnerOf, portsForm, stepForm } from './joint-step-form.ts'
import { instant } from './json.ts'
import { photosOfJoint } from './photo-slots.ts'
import type { Ask } from './resource.ts'
import { lookAt, type SeenJoint } from './seen-joint.ts'
import { shellOf } from './shell.ts'
import { placeWords, stripOf } from './strip-of.ts'

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

export async function jointPage(ask: Ask, seen: SeenJoint, came?: FormState, note?: string): Promise<VNode> {
  const { joint, system, judging } = seen
  const job = await jobAtHand(ask, seen, came)
  const form = correctedFact(came) === null ? came : undefined
  const make = currentMake(joint)
  const next: NextStep = make ? nextStep(joint, make, judging) : { step: null, reason: '' }
  const mayRecord = job?.stage === 'open' && may(ask.actor, 'record-work')
  const crew = await listCrewPeople(ask.scope)
  const people = new Map(crew.map((person) => [person.id, person.name]))
  const who = (step: { performedBy: string; performedAt: number }) =>
    `${people.get(step.performedBy) ?? 'somebody'} · ${instant(step.performedAt).slice(11, 16)} UTC`
  // A joint that was there before and was never opened has no making: all there is to do is to check it.
  const isLeftAlone = make === null && joint.origin === 'existing' && !isPort(joint)
  const recorded: readonly Step[] = make ? make.steps : joint.leakChecks
  const beside = await withCorrections(
    ask,
    seen,
    recorded,
    {
      words: (step) => summaryOf(step, joint, judging),
      member: await membersInWords(ask.scope),
    },
    mayRecord ? job.id : null,
    came,
  )
  const check = mayRecord && isLeftAlone ? await checkForm(ask, seen, job.id, form) : null
  const isChecked = recorded.some((step) => step.jobId === job?.id)
  const items = make
    ? stepItems(joint, make, next, judging, who)
    : [
        ...recorded.map((step) => recordedItem(step, joint, judging, who)),
        ...(check && !isChecked
          ? [{ id: 'leak-check-to-do', title: stepTitles()['leak-check'], state: 'next' as const }]
          : []),
      ]
  const steps = items.map((item) => ({
    ...item,
    ...tooWeak(recorded.find((step) => step.id === item.id)),
    ...beside.get(item.id),
  }))
  /** A check that could not have found what it has to find says so in its line. */
  function tooWeak(step: Step | undefined): Pick<StepItem, 'outcome' | 'summary'> {
    if (step?.kind !== 'leak-check') return {}
    const { verdict, reason } = judgeLeakCheck(step.body, joint, system, judging.policy)
    return verdict === 'not-enough'
      ? { outcome: 'open', summary: say.joints.itDoesNotCount(summaryOf(step, joint, judging), reason) }
      : {}
  }
  const props: JointPageProps = {
    shell: shellOf(ask.actor, '/jobs'),
    joint: {
      id: joint.id,
      tag: joint.tag,
      lead: [
        system.lineSets.find((line) => line.id === joint.lineSetId)?.name,
        placeWords(joint, system.units),
        say.joints.line2(coded(joint.line)),
        tubeName(joint.tubeOdM),
        coded(joint.kind),
        make ? say.joints.making2(make.number) : null,
        joint.origin === 'field' ? null : coded(joint.origin),
      ]
        .filter(Boolean)
        .join(' · '),
    },
    job: job ? { id: job.id, stage: job.stage } : null,
    figuresHref: `/systems/${system.id}/figures?joint=${joint.id}${job ? `&job=${job.id}` : ''}`,
    strip: stripOf(
      {
        ...system,
        lineSets: system.lineSets.filter((line) => !joint.lineSetId || line.id === joint.lineSetId),
        // Ports and caps make the drawing taller; the step is to stand on the first screen.
        joints: system.joints.filter((one) => isPort(joint) || !isPort(one)),
      },
      { policy: judging.policy, instruments: [...judging.instruments], at: seen.now },
      {
        hrefOf: (one) => `/joints/${one.id}${job ? `?job=${job.id}` : ''}`,
        currentJointId: joint.id,
        caption: 'hidden',
      },
    ),
    steps,
    nextStep:
      mayRecord && make && next.step && !isPort(joint)
        ? await stepForm(ask, seen, make, next, job.id, form?.values._again ? undefined : form)
        : isChecked
          ? null
          : check,
    again:
      mayRecord && make && !isPort(joint)
        ? await doneAgain(ask, seen, make, next, job.id, form)
        : check && isChecked
          ? [{ ...check, open: form !== undefined }]
          : [],
    torque: make ? torqueWorked(make, joint, judging) : undefined,
    nextReason: isLeftAlone ? say.joints.itWasThereBeforeAnd : next.reason,
    newMake:
      mayRecord && joint.retiredAt === null
        ? {
            action: `/joints/${joint.id}/makes`,
            freshId: newId(),
            jobId: job.id,
            number: (make?.number ?? 0) + 1,
            wanted:
              (make === null && !isLeftAlone) || (next.step === null && next.reason.includes('rejected')),
            together: make === null ? startTogether(seen) : null,
            form,
          }
        : null,
    later:
      mayRecord && joint.retiredAt === null && !isPort(joint) ? await laterSteps(ask, seen, job.id) : null,
    ports: mayRecord && isPort(joint) ? await portsForm(ask, seen, job.id, form) : null,
    photos: await photosOfJoint(
      ask,
      {
        id: joint.id,
        tag: joint.tag,
        indoors: joint.indoors && !isPort(joint),
        stepId: make?.steps.findLast((step) => step.kind === 'inspection')?.id ?? null,
      },
      job,
    ),
    cameBack: (await listCallbacksOfJoint(ask.scope, joint.id)).map(({ id, reportedAt, findings }) => ({
      href: `/callbacks/${id}`,
      at: reportedAt,
      causes: [
        ...new Set(
          findings.filter(({ jointId }) => jointId === joint.id).map(({ cause }) => causeWords(cause)),
        ),
      ],
    })),
    others: neighbours(seen).map((one) => ({
      href: `/joints/${one.id}${job ? `?job=${job.id}` : ''}`,
      tag: one.tag,
      words: say.joints.line(placeWords(one, seen.system.units), coded(one.line)),
    })),
    earlier: joint.makes
      .filter((one) => one.id !== make?.id)
      .map((one) => ({
        number: one.number,
        reason: joint.makes.find((later) => later.number === one.number + 1)?.reason ?? null,
        steps: one.steps.map((step) => `${summaryOf(step, joint, judging)} (${who(step)})`),
      })),
    questions: await threadItems(ask, await listAuditThreadsAbout(ask.scope, joint.id), {
      nameOf: (id) => crew.find((person) => person.memberId === id)?.name ?? 'somebody',
      systems: [system],
      from: 'joint',
      form: came,
    }),
    sentBack:
      job?.stage === 'open' && job.stageAt > job.openedAt ? await sentBackWith(ask, job, joint.id) : null,
    note: note ?? null,
  }
  return JointPage(props)
}

/** Why the job was sent back, where this joint was named. */
async function sentBackWith({ scope }: Ask, job: JobRow, jointId: string): Promise<string | null> {
  const last = (await listJobEvents(scope, job.id)).findLast(({ event }) => event !== 'handed-over')
  if (last?.event !== 'sent-back' || !last.detail.subjects?.includes(jointId)) return null
  return last.detail.reason ?? null
}

/** How the last torque of this making came to its verdict. */
function torqueWorked(make: Make, joint: Joint, judging: Judging) {
  const step = make.steps.findLast((one) => one.kind === 'torque')
  if (step?.kind !== 'torque') return undefined
  const unit = ((step as RecordedStep).typed.reading?.unit ?? 'N.m') as TorqueUnit
  return explainTorque(step.body, judgeTorqueStep(joint, step.body, judging), unit)
}

/** What may honestly be done once more: a nut pulled up, a joint checked again. */
async function doneAgain(
  ask: Ask,
  seen: SeenJoint,
  make: Make,
  next: NextStep,
  jobId: string,
  form?: FormState,
): Promise<JointPageProps['again']> {
  const again: JointPageProps['again'] = []
  for (const step of ['torque', 'leak-check'] as const) {
    const isRecorded = make.steps.some((one) => one.kind === step)
    if (step === next.step || !isRecorded || whyNotNow(step, seen.joint, make, seen.judging) !== null)
      continue
    const own = form?.values._again === step ? form : undefined
    const made = await stepForm(ask, seen, make, { step, reason: '' }, jobId, {
      values: {},
      errors: [],
      ...own,
      scope: `again-${step}`,
    })
    if (made) again.push({ ...made, open: own !== undefined })
  }
  return again
}

function startTogether(seen: SeenJoint): NonNullable<JointPageProps['newMake']>['together'] {
  const partner = partnerOf(seen)
  if (!partner || currentMake(partner)) return null
  const ids = `${seen.joint.id}:${newId()} ${partner.id}:${newId()}`
  return { ids, tag: partner.tag, jointId: seen.joint.id, key: newId() }
}

/** The job that the address or the form names, else the one open job on this system. */
async function jobAtHand(ask: Ask, { row }: SeenJoint, form?: FormState): Promise<JobRow | null> {
  const named = ask.query.job || ask.params.jobId || form?.values._job || form?.values.jobId
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
  const items = make.steps.map((step) => recordedItem(step, joint, judging, who))
  const later = stepsFor(joint, judging.sheet, make)
  const isDone = (kind: Step['kind']) =>
    kind !== next.step && kind !== 'leak-check' && make.steps.some((step) => step.kind === kind)
  const rest = next.step ? later.slice(later.indexOf(next.step)).filter((kind) => !isDone(kind)) : []
  for (const [index, kind] of rest.entries())
    items.push({ id: `${kind}-to-do`, title: stepTitles()[kind], state: index === 0 ? 'next' : 'later' })
  return items
}

function recordedItem(step: Step, joint: Joint, judging: Judging, who: (step: Step) => string): StepItem {
  return {
    id: step.id,
    title: stepTitles()[step.kind],
    state: 'recorded',
    summary: summaryOf(step, joint, judging),
    who: who(step),
    ...outcomeOf(step, joint, judging),
  }
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
      return `${say.joints.preparedWord}${pointsWords(step.body.points)}`
    case 'flare':
      return say.joints.flaredDepthStop(
        coded(step.body.method),
        step.body.depthStopUsed ? say.joints.used : say.joints.notUsed,
      )
    case 'brazing':
      return say.joints.brazedNitrogen(step.body.nitrogenFlow ? say.joints.flowed : say.joints.didNotFlow)
    case 'pressing':
      return say.joints.pressedJaw(step.body.jawSize)
    case 'inspection': {
      const { outerDiameterM, outcome, points } = step.body
      const size = outerDiameterM === null ? '' : ` · ${formatQuantity(outerDiameterM * 1000, 'mm')}`
      return say.joints.inspected(coded(outcome), size, pointsWords(points))
    }
    case 'assembly':
      return say.joints.assembledWith(pointsWords(step.body.points))
    case 'torque': {
      const judgement = judgeTorqueStep(joint, step.body, judging)
      if (judgement.appliedNm === null || judgement.verdict !== 'in-range')
        return say.joints.torque3(judgement.reason)
      const range = judgement.range ? `: ${span(judgement.range.lowNm, judgement.range.highNm, 'N.m')}` : ''
      return say.joints.torqueInRange(asRead(step as RecordedStep, judgement.appliedNm), range)
    }
    case 'closing':
      return `Closed${pointsWords(step.body.points)}`
    case 'leak-check':
      return say.joints.leakCheck2(coded(step.body.method), coded(step.body.result))
  }
}

/** As typed, with N·m beside where that was another unit. */
function asRead({ typed }: RecordedStep, appliedNm: number): string {
  const reading = typed.reading
  if (!reading || reading.unit === 'N.m') return newtonMetres(appliedNm)
  return say.joints.atTheNut(
    formatQuantity(reading.value, reading.unit as TorqueUnit),
    newtonMetres(appliedNm),
  )
}

function pointsWords({
  answers,
  allAsListed,
}: {
  answers: Record<string, string>
  allAsListed: boolean
}): string {
  if (Object.keys(answers).length === 0) return ''
  if (allAsListed) return say.joints.allAsListed2
  const otherwise = Object.values(answers).filter((answer) => answer !== 'yes').length
  return otherwise === 0
    ? say.joints.eachPointYes
    : say.joints.pointNotAsListed(otherwise, otherwise === 1 ? '' : 's')
}
