// Are the ports and caps of this line set closed, capped and tight? All of them in one go.

import type { JSX } from 'preact'
import { LEAK_CHECK_MEDIA, LEAK_CHECK_METHODS } from '../../server/vocabulary.ts'
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
import { ChoiceField, type FormState, type Option, OtherErrors, SelectField } from '../parts/field.tsx'
import { PointList } from '../parts/point-list.tsx'
import { closingWords } from './step-words.ts'

export interface PortsFormProps {
  jobId: string
  jointId: string
  key: string
  /** `joint:make:fresh` each, parted by blanks; where there is no make yet, it gets the fresh id. */
  ids: string
  tags: readonly string[]
  detectors: Option[]
  form?: FormState | undefined
}

const words = (values: readonly string[]): Option[] => values.map((value) => ({ value, label: coded(value) }))

export function PortsForm(props: PortsFormProps): JSX.Element {
  const { form } = props
  return (
    <form method="post" action={`/jobs/${props.jobId}/steps`} class="sheet">
      <h2>{say.joints.close(props.tags.join(', '))}</h2>
      <p class="why">{say.joints.afterTheLastTest}</p>
      <input type="hidden" name="_step" value="ports" />
      <input type="hidden" name="_joint" value={props.jointId} />
      <input type="hidden" name="_key" value={props.key} />
      <input type="hidden" name="_both" value={props.ids} />
      <OtherErrors form={form} fields={['points', 'reasons', 'method', 'medium', 'result']} />
      <PointList legend={say.joints.closing} points={closingWords()} form={form}>
        <SelectField
          name="method"
          label={say.joints.leakCheck}
          beside
          form={form}
          value="refrigerant-detector"
          options={words(LEAK_CHECK_METHODS)}
        />
        <SelectField
          name="medium"
          label={say.joints.withWord}
          beside
          form={form}
          value="refrigerant"
          options={words(LEAK_CHECK_MEDIA)}
        />
        <SelectField
          name="instrumentId"
          label={say.joints.detector}
          beside
          form={form}
          options={[{ value: '', label: say.joints.none }, ...props.detectors]}
        />
        <ChoiceField
          name="result"
          label={say.joints.leak}
          form={form}
          value="none-found"
          options={[
            { value: 'none-found', label: say.joints.noneFound },
            { value: 'found', label: say.joints.found },
          ]}
        />
      </PointList>
    </form>
  )
}
