// Which steps are still to come, in forms that a phone without a signal can put in place itself?

import type { JSX } from 'preact'
import type { StepKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'
import { AreaField } from '../parts/field.tsx'
import { StepForm, type StepFormProps } from './step-forms.tsx'

interface Ahead {
  /** The making that counts; null where none was started. */
  make: string | null
  /** What is left to do for it, in order. */
  now: readonly StepKind[]
  /** What a new making begins with. */
  anew: readonly StepKind[]
}

export interface LaterStepsProps extends Ahead {
  /** The other joint at this unit, which may go on together with this one. */
  partner: (Ahead & { id: string }) | null
  forms: readonly { title: string; why: string; form: StepFormProps }[]
}

/** What `kept-here.js` reads to know where this joint stands. */
export const laterData = (jointId: string, props: LaterStepsProps): Record<string, string | undefined> => ({
  'data-joint': jointId,
  'data-make': props.make ?? '',
  'data-now': props.now.join(' '),
  'data-anew': props.anew.join(' '),
  ...(props.partner
    ? {
        'data-partner': props.partner.id,
        'data-partner-make': props.partner.make ?? '',
        'data-partner-now': props.partner.now.join(' '),
        'data-partner-anew': props.partner.anew.join(' '),
      }
    : {}),
})

/** Inert until a script takes them out. */
export function LaterSteps(props: LaterStepsProps & { jointId: string; jobId: string }): JSX.Element {
  return (
    <template id="later-steps">
      <details data-remake="">
        <summary>{say.joints.cutItOffAnd}</summary>
        <form method="post" action={`/joints/${props.jointId}/makes`}>
          <input type="hidden" name="id" value="" />
          <input type="hidden" name="jobId" value={props.jobId} />
          <AreaField
            name="reason"
            label={say.joints.whyAnotherMakingIs}
            form={{ values: {}, errors: [], scope: 'later-remake' }}
          />
          <Button kind="other">{say.joints.startTheNextMaking}</Button>
        </form>
      </details>
      {props.forms.map(({ title, why, form }) => (
        <div key={form.kind} data-step={form.kind} data-title={title}>
          <p class="why">{why}</p>
          <StepForm {...form} />
        </div>
      ))}
    </template>
  )
}
