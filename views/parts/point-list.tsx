// Is every point of this step as listed, and if not, which one and why?

import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { type FormState, fieldErrors, fieldId, fieldName, fieldValue } from './field.tsx'

export interface PointListProps {
  /** "Preparation points" */
  legend: string
  points: readonly { code: string; label: string; why?: string | undefined }[]
  form?: FormState | undefined
  /** Answers that a point may have; default all three. */
  answers?: readonly ('yes' | 'no' | 'not-applicable')[] | undefined
  /** Other controls of the step (an instrument, a photo), between the points and the buttons. */
  children?: ComponentChildren
  /** Default "All as listed". */
  allLabel?: string | undefined
  /** Default "Record as marked". */
  markedLabel?: string | undefined
}

const answerWords = () =>
  ({ yes: say.parts.yes, no: say.parts.no, 'not-applicable': say.parts.doesNotApply }) as const

/**
 * Stands inside a form. Posts `allAsListed=true`, or `points.<code>` with `reasons.<code>` for each point. A line
 * that is not opened counts as yes.
 */
export function PointList(props: PointListProps): JSX.Element {
  const answers = props.answers ?? (['yes', 'no', 'not-applicable'] as const)
  return (
    <div class="point-list">
      <fieldset>
        <legend>{props.legend}</legend>
        <p class="hint">{say.parts.tapALineOnly}</p>
        <ul class="points">
          {props.points.map((point) => {
            const name = `points.${point.code}`
            const reason = `reasons.${point.code}`
            const chosen = fieldValue(name, props.form, 'yes')
            const id = fieldId(name, props.form)
            const errors = [...fieldErrors(name, props.form), ...fieldErrors(reason, props.form)]
            const first = props.form?.errors[0]?.path
            return (
              <li key={point.code}>
                <details open={chosen !== 'yes' || errors.length > 0}>
                  <summary>
                    <span class="point-words">
                      {point.label}
                      {point.why === undefined ? null : <span class="soft"> {point.why}</span>}
                    </span>
                  </summary>
                  <div class="point-exception">
                    <div class="choices" role="radiogroup" aria-label={point.label}>
                      {answers.map((answer) => (
                        <label class="choice" key={answer}>
                          <input
                            type="radio"
                            id={`${id}-${answer}`}
                            name={fieldName(name, props.form)}
                            value={answer}
                            checked={answer === chosen}
                            autofocus={first === fieldName(name, props.form) && answer === chosen}
                          />
                          <span>{answerWords()[answer]}</span>
                        </label>
                      ))}
                    </div>
                    <label for={`${id}-reason`}>
                      {say.parts.whyIsItNot(<span class="vh">{point.label}</span>)}
                    </label>
                    <input
                      type="text"
                      id={`${id}-reason`}
                      name={fieldName(reason, props.form)}
                      value={fieldValue(reason, props.form)}
                      maxlength={500}
                      aria-invalid={errors.length === 0 ? undefined : 'true'}
                      aria-describedby={errors.length === 0 ? undefined : `${id}-error`}
                      autofocus={first === fieldName(reason, props.form)}
                    />
                    {errors.length === 0 ? null : (
                      <p class="message" id={`${id}-error`}>
                        {errors.join(' ')}
                      </p>
                    )}
                  </div>
                </details>
              </li>
            )
          })}
        </ul>
      </fieldset>
      {props.children}
      <button type="submit" class="do all-as-listed" name={fieldName('allAsListed', props.form)} value="true">
        {props.allLabel ?? say.parts.allAsListed}
      </button>
      <button type="submit" class="other as-marked">
        {props.markedLabel ?? say.parts.recordAsMarked}
      </button>
    </div>
  )
}
