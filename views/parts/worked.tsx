// How was this number worked out? The formula in words and in symbols, with the numbers put in, step by step.

import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'

export interface WorkedStep {
  /** What is done here, in a sentence. */
  says: string
  /** In symbols: `p_2 = p_1 · (Z_2 · T_2) / (Z_1 · T_1)`; `_{…}` is set lower, `^{…}` higher. */
  formula?: string | undefined
  /** The same with the numbers put in. */
  numbers?: string | undefined
}

export interface WorkedProps {
  steps: readonly WorkedStep[]
  /** Published source of the formula, or "common practice, no source". */
  source: string
  /** Between which limits it holds, and how sure it is. */
  validity: string
  /** The page of the method: `/methods/torque`. */
  methodHref?: string | undefined
  /** The calculator with the same figures. */
  calculatorHref?: string | undefined
}

export function Worked(props: WorkedProps): JSX.Element {
  return (
    <div class="worked">
      <ol>
        {props.steps.map((step) => (
          <li key={step.says}>
            <p>{step.says}</p>
            {step.formula === undefined ? null : (
              <p class="worked-formula">
                <Typeset text={step.formula} />
              </p>
            )}
            {step.numbers === undefined ? null : (
              <p class="worked-numbers">
                <Typeset text={step.numbers} />
              </p>
            )}
          </li>
        ))}
      </ol>
      <p class="hint">{say.parts.source(props.source, props.validity)}</p>
      {props.methodHref === undefined && props.calculatorHref === undefined ? null : (
        <p class="worked-links">
          {props.calculatorHref === undefined ? null : (
            <a href={props.calculatorHref}>{say.parts.tryItWithOther}</a>
          )}
          {props.methodHref === undefined ? null : (
            <a href={props.methodHref}>{say.parts.whatThisMethodAssumes}</a>
          )}
        </p>
      )}
    </div>
  )
}

/** The same, folded, under a result of the record. */
export function HowWorkedOut(props: WorkedProps & { of?: string | undefined }): JSX.Element {
  return (
    <details class="how-worked">
      <summary>
        <span>{say.parts.howWasWorkedOut(props.of ?? say.parts.thisWord)}</span>
      </summary>
      <Worked {...props} />
    </details>
  )
}

/** A formula on one line: what follows `_` is set lower, what follows `^` higher. */
export function Typeset(props: { text: string }): JSX.Element {
  const parts: ComponentChildren[] = []
  for (const [, low, high, plain] of props.text.matchAll(
    /_(\{[^}]*\}|[\p{L}\d]+)|\^(\{[^}]*\}|[\p{L}\d])|([^_^]+|.)/gu,
  )) {
    if (low !== undefined) parts.push(<sub>{bare(low)}</sub>)
    else if (high !== undefined) parts.push(<sup>{bare(high)}</sup>)
    else parts.push(plain)
  }
  return <>{parts}</>
}

const bare = (text: string) => text.replace(/^\{|\}$/g, '')
