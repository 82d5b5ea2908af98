// Which corrections were asked for on this job, what does each change, and who has to answer it?

import type { JSX } from 'preact'
import type { CorrectionState } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'
import { AreaField, type FormState } from '../parts/field.tsx'
import { When } from '../parts/when.tsx'

export interface CorrectionsProps {
  corrections: readonly {
    id: string
    /** "Joint SM9-11" */
    about: string
    href: string
    before: string
    after: string
    reason: string
    state: CorrectionState
    at: number
    who: string
    /** Who answered and why; null while it waits, and where nobody had to. */
    answer: { who: string; reason: string } | null
    mayAccept: boolean
    mayRefuse: boolean
  }[]
  /** The answer to one of them, as it came back. */
  form?: FormState | undefined
}

const theWords = (): Record<CorrectionState, string> => ({
  accepted: say.corrections.stands,
  waiting: say.corrections.waitsForAManager2,
  refused: say.corrections.refused,
})

export function Corrections({ corrections, form }: CorrectionsProps): JSX.Element | null {
  if (corrections.length === 0) return null
  return (
    <section class="sheet" id="corrections">
      <h2>{say.corrections.corrections}</h2>
      <ul class="rows">
        {corrections.map((correction) => (
          <li key={correction.id} id={`correction-${correction.id}`}>
            <p>
              <b>
                <a href={correction.href}>{correction.about}</a>. {theWords()[correction.state]}
              </b>
            </p>
            <dl class="facts">
              <div>
                <dt>{correction.state === 'accepted' ? say.corrections.was : say.corrections.recorded}</dt>
                <dd>{correction.before}</dd>
              </div>
              <div>
                <dt>{correction.state === 'accepted' ? say.corrections.isNow : say.corrections.askedFor}</dt>
                <dd>{correction.after}</dd>
              </div>
            </dl>
            <p class="soft">
              {say.corrections.by(
                correction.reason,
                correction.who,
                <When at={correction.at} />,
                correction.answer === null
                  ? null
                  : say.corrections.answeredBy(correction.answer.who, correction.answer.reason),
              )}
            </p>
            {correction.mayAccept || correction.mayRefuse ? (
              <Answer {...correction} form={form?.values._correction === correction.id ? form : undefined} />
            ) : null}
          </li>
        ))}
      </ul>
    </section>
  )
}

function Answer(props: {
  id: string
  mayAccept: boolean
  mayRefuse: boolean
  form: FormState | undefined
}): JSX.Element {
  const { form } = props
  return (
    <form method="post" action={`/corrections/${props.id}/decision`}>
      <input type="hidden" name="_correction" value={props.id} />
      <AreaField
        name="reason"
        label={say.corrections.whyYouAcceptOr}
        hint={say.corrections.whatYouLookedAt}
        rows={2}
        required
        form={{ values: form?.values ?? {}, errors: form?.errors ?? [], scope: props.id }}
      />
      <div class="actions">
        {props.mayAccept ? (
          <Button name="decision" value="accepted" kind="other">
            {say.corrections.accept}
          </Button>
        ) : null}
        <Button name="decision" value="refused" kind="refuse">
          {props.mayAccept ? say.corrections.refuse : say.corrections.takeItBack}
        </Button>
      </div>
    </form>
  )
}
