// What is recorded, what comes next, and what comes after it?

import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { type FindingOutcome, OutcomeMark } from './mark.tsx'

export interface StepItem {
  id: string
  title: string
  state: 'recorded' | 'next' | 'later'
  /** Of a recorded step, in one line: "Inspected, accepted · 13.0 mm in 12.8–13.2". */
  summary?: string | undefined
  /** "Ines · 10:46" */
  who?: string | undefined
  /** Shown as a mark where it is not simply recorded: a high torque, a rejected flare. */
  outcome?: FindingOutcome | undefined
  /** Of the next step: what is wanted and why, in one line. */
  why?: ComponentChildren
  /** Of the next step: its form. Of a recorded one: its details, behind the fold. */
  children?: ComponentChildren
  /** Of a recorded step, under its line and always in sight: what it replaced, and what waits. */
  under?: ComponentChildren
  /** How many corrections of it wait for a manager. */
  waiting?: number | undefined
  /** Its details stand open: something in them needs mending. */
  open?: boolean | undefined
}

export interface StepsProps {
  /** "Steps of joint SM4-4" */
  label: string
  steps: readonly StepItem[]
  /** One line for all recorded steps before the next one, so that the next one stands high on a phone. */
  foldRecorded?: boolean | undefined
  /** Heading level of the next step's title; default 2. */
  level?: 2 | 3 | 4 | undefined
}

export function Steps(props: StepsProps): JSX.Element {
  const numbered = props.steps.map((step, index) => ({ step, number: index + 1 }))
  const nextAt = numbered.findIndex(({ step }) => step.state === 'next')
  // What was just judged stays in sight: a torque's verdict is read before the next step is begun.
  const foldTo = numbered[nextAt - 1]?.step.outcome === undefined ? nextAt : nextAt - 1
  const folds = props.foldRecorded === true && foldTo > 1
  const before = folds ? numbered.slice(0, foldTo) : []
  const waiting = before.reduce((sum, { step }) => sum + (step.waiting ?? 0), 0)
  const shown = folds ? numbered.slice(foldTo) : numbered
  return (
    <div class="steps-block">
      {folds ? (
        <details class="steps-recorded" open={before.some(({ step }) => step.open === true)}>
          <summary>
            <span>
              {say.parts.stepsRecorded(
                before.length,
                waiting === 0
                  ? null
                  : say.parts.correctionForAManager(
                      waiting,
                      waiting === 1 ? say.parts.waits : say.parts.sWait,
                    ),
              )}
            </span>
          </summary>
          <ol class="steps" aria-label={say.parts.recorded(props.label)}>
            {before.map(({ step, number }) => (
              <Step key={step.id} step={step} number={number} level={props.level ?? 2} />
            ))}
          </ol>
        </details>
      ) : null}
      <ol class="steps" aria-label={props.label} start={shown[0]?.number ?? 1}>
        {shown.map(({ step, number }) => (
          <Step key={step.id} step={step} number={number} level={props.level ?? 2} />
        ))}
      </ol>
    </div>
  )
}

function Step(props: { step: StepItem; number: number; level: 2 | 3 | 4 }): JSX.Element {
  const { step, number } = props
  const Heading = `h${props.level}` as 'h2' | 'h3' | 'h4'
  if (step.state === 'next') {
    return (
      <li class="step step-next" id={step.id} aria-current="step">
        <div class="step-head">
          <span class="step-number" aria-hidden="true">
            {number}
          </span>
          <Heading>{step.title}</Heading>
        </div>
        {step.why === undefined ? null : <p class="why">{step.why}</p>}
        {step.children}
      </li>
    )
  }
  const line = (
    <span class="step-line">
      <span class="step-number" aria-hidden="true">
        {number}
      </span>
      <span class="step-words">
        {step.outcome === undefined ? null : <OutcomeMark outcome={step.outcome} />}
        {step.state === 'recorded' ? (step.summary ?? step.title) : step.title}
        {step.state === 'later' ? <span class="vh"> {say.parts.notYet}</span> : null}
      </span>
      {step.who === undefined ? null : <span class="who">{step.who}</span>}
    </span>
  )
  return (
    <li class={`step step-${step.state}`} id={step.id}>
      {step.state === 'recorded' && step.children !== undefined ? (
        <details open={step.open === true}>
          <summary>{line}</summary>
          <div class="step-details">{step.children}</div>
        </details>
      ) : (
        line
      )}
      {step.under === undefined ? null : <div class="step-details">{step.under}</div>}
    </li>
  )
}
