// What is known of this joint, and what is recorded next?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { JobStage } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { type ThreadProps, Threads } from '../audit/threads.tsx'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { AreaField, type FormState, OtherErrors } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { Photos, type PhotosProps } from '../parts/photos.tsx'
import { PipeStrip, type PipeStripProps } from '../parts/pipe-strip.tsx'
import { type StepItem, Steps } from '../parts/steps.tsx'
import { Tag } from '../parts/tag.tsx'
import { When } from '../parts/when.tsx'
import { HowWorkedOut, type WorkedProps } from '../parts/worked.tsx'
import { LaterSteps, type LaterStepsProps, laterData } from './later-steps.tsx'
import { PortsForm, type PortsFormProps } from './ports-form.tsx'
import { BothJoints, StepForm, type StepFormProps, type Together } from './step-forms.tsx'

export interface JointPageProps {
  shell: Shell
  joint: { id: string; tag: string; lead: string }
  job: { id: string; stage: JobStage } | null
  /** What holds for its system's tube sizes, with sources. */
  figuresHref: string
  strip: PipeStripProps
  steps: readonly StepItem[]
  /** The form of the next step, where this member may record it now. */
  nextStep: { title: string; why: string; form: StepFormProps } | null
  /** What was done and may be done once more. */
  again: { title: string; why: string; form: StepFormProps; open: boolean }[]
  /** The last torque of this making. */
  torque: WorkedProps | undefined
  nextReason: string
  newMake: {
    action: string
    freshId: string
    jobId: string
    number: number
    /** The next thing to do, rather than something that may be done. */
    wanted: boolean
    together?: Together | null | undefined
    form?: FormState | undefined
  } | null
  /** For ports and caps, in place of steps one by one. */
  ports: PortsFormProps | null
  /** The forms of all steps, where the work may have to go on without a signal. */
  later: LaterStepsProps | null
  others: readonly { href: string; tag: string; words: string }[]
  earlier: readonly { number: number; reason: string | null; steps: readonly string[] }[]
  photos: PhotosProps
  /** The callbacks that found it leaking, newest first. */
  cameBack: readonly { href: string; at: number; causes: readonly string[] }[]
  /** What the manager asked about it. */
  questions: readonly ThreadProps[]
  /** Why the job was sent back with this joint. */
  sentBack: string | null
  note: string | null
}

export function JointPage(props: JointPageProps): JSX.Element {
  const { joint, job, nextStep } = props
  const steps = props.steps.map((step) =>
    step.state === 'next' && nextStep
      ? { ...step, why: nextStep.why, children: <StepForm {...nextStep.form} /> }
      : step.state === 'next'
        ? { ...step, state: 'later' as const }
        : step,
  )
  return (
    <Layout {...props.shell} title={say.joints.joint(joint.tag)} width="narrow">
      <div class="title-line">
        <h1>{say.joints.joint2(<Tag tag={joint.tag} />)}</h1>
        <a href={props.figuresHref}>{say.joints.torqueAndFlares}</a>
      </div>
      <p class="lead">{joint.lead}</p>
      <PipeStrip {...props.strip} />
      {props.note === null ? null : (
        <Flash kind="refused" lead={say.joints.notRecorded}>
          {props.note}
        </Flash>
      )}
      {props.sentBack === null ? null : (
        <Flash kind="needs-you" lead={say.joints.sentBackWithThis}>
          {props.sentBack}
        </Flash>
      )}
      <Threads
        threads={props.questions.filter(({ state }) => state !== 'settled')}
        title={say.joints.questionsFromTheAudit}
      />
      <div
        id="next"
        data-page={`/joints/${joint.id}${job ? `?job=${job.id}` : ''}`}
        {...(props.later ? laterData(joint.id, props.later) : {})}
      >
        {props.later === null ? null : (
          <LaterSteps {...props.later} jointId={joint.id} jobId={job?.id ?? ''} />
        )}
        {steps.length === 0 ? null : (
          <Steps label={say.joints.stepsOfJoint(joint.tag)} steps={steps} foldRecorded />
        )}
        {props.torque === undefined ? null : <HowWorkedOut {...props.torque} of={say.joints.theTorque} />}
        {nextStep === null && props.steps.length > 0 ? <p class="why">{props.nextReason}</p> : null}
        {props.ports ? <PortsForm {...props.ports} /> : null}
        {props.again.map((step) => (
          <details key={step.title} open={step.open}>
            <summary>{say.joints.again(step.title)}</summary>
            <p class="why">{step.why}</p>
            <StepForm {...step.form} again />
          </details>
        ))}
        {props.newMake && !props.ports ? <NewMake {...props.newMake} /> : null}
      </div>
      {nextStep === null && props.newMake?.wanted !== true && props.others.length > 0 ? (
        <nav aria-label={say.joints.otherJointsOfThis}>
          <h2>{say.joints.otherJointsOfThis}</h2>
          <ul class="rows">
            {props.others.map((other) => (
              <li key={other.href}>
                <a class="row" href={other.href}>
                  <Tag tag={other.tag} /> {other.words}
                </a>
              </li>
            ))}
          </ul>
        </nav>
      ) : null}
      {props.earlier.map((make) => (
        <details key={make.number} class="sheet">
          <summary>{say.joints.makingReplaced(make.number, make.reason ? `: ${make.reason}` : '')}</summary>
          <ul>
            {make.steps.map((step) => (
              <li key={step}>{step}</li>
            ))}
          </ul>
        </details>
      ))}
      <Threads
        threads={props.questions.filter(({ state }) => state === 'settled')}
        title={say.joints.questionsThatAreSettled}
      />
      <Photos {...props.photos} />
      {props.cameBack.length === 0 ? null : (
        <section class="sheet" aria-labelledby="came-back">
          <h2 id="came-back">{say.joints.itCameBack}</h2>
          <ul>
            {props.cameBack.map((one) => (
              <li key={one.href}>
                <a href={one.href}>{say.joints.callbackOf(<When at={one.at} show="day" />)}</a>:{' '}
                {one.causes.join(', ')}
              </li>
            ))}
          </ul>
        </section>
      )}
      <p class="actions">
        {job ? <a href={`/jobs/${job.id}`}>{say.joints.backToTheJob}</a> : null}
        <a href={`/joints/${joint.id}/history`}>{say.joints.history}</a>
      </p>
    </Layout>
  )
}

function NewMake(props: NonNullable<JointPageProps['newMake']>): JSX.Element {
  const { form } = props
  const isFirst = props.number === 1
  const inner = (
    <form method="post" action={props.action}>
      <input type="hidden" name="id" value={form?.values.id ?? props.freshId} />
      <input type="hidden" name="jobId" value={props.jobId} />
      <OtherErrors form={form} fields={['reason']} />
      {isFirst ? null : (
        <AreaField name="reason" label={say.joints.whyMakingIsNeeded(props.number)} form={form} />
      )}
      <Button kind={props.wanted ? 'do' : 'other'}>{say.joints.startMaking(props.number)}</Button>
      {props.together ? <BothJoints {...props.together} step="make" jobId={props.jobId} /> : null}
    </form>
  )
  if (props.wanted) return <section class="sheet">{inner}</section>
  return (
    <details open={form?.errors.some((error) => error.path === 'reason') ? true : undefined}>
      <summary>{isFirst ? say.joints.itWasOpenedMake : say.joints.cutItOffAnd}</summary>
      {inner}
    </details>
  )
}
