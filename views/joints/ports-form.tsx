// Are the ports and caps of this line set closed, capped and tight? All of them in one go.

import type { JSX } from 'preact'
import { LEAK_CHECK_MEDIA, LEAK_CHECK_METHODS } from '../../server/vocabulary.ts'
import { ChoiceField, type FormState, type Option, OtherErrors, SelectField } from '../parts/field.tsx'
import { PointList } from '../parts/point-list.tsx'
import { CLOSING_WORDS } from './step-words.ts'

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

const words = (values: readonly string[]): Option[] =>
  values.map((value) => ({ value, label: value.replaceAll('-', ' ') }))

export function PortsForm(props: PortsFormProps): JSX.Element {
  const { form } = props
  return (
    <form method="post" action={`/jobs/${props.jobId}/steps`} class="sheet">
      <h2>Close {props.tags.join(', ')}</h2>
      <p class="why">After the last test and the charge. Cores and caps leak more often than joints.</p>
      <input type="hidden" name="_step" value="ports" />
      <input type="hidden" name="_joint" value={props.jointId} />
      <input type="hidden" name="_key" value={props.key} />
      <input type="hidden" name="_both" value={props.ids} />
      <OtherErrors form={form} fields={['points', 'reasons', 'method', 'medium', 'result']} />
      <PointList legend="Closing" points={CLOSING_WORDS} form={form}>
        <SelectField
          name="method"
          label="Leak check"
          beside
          form={form}
          value="refrigerant-detector"
          options={words(LEAK_CHECK_METHODS)}
        />
        <SelectField
          name="medium"
          label="With"
          beside
          form={form}
          value="refrigerant"
          options={words(LEAK_CHECK_MEDIA)}
        />
        <SelectField
          name="instrumentId"
          label="Detector"
          beside
          form={form}
          options={[{ value: '', label: 'None' }, ...props.detectors]}
        />
        <ChoiceField
          name="result"
          label="Leak"
          form={form}
          value="none-found"
          options={[
            { value: 'none-found', label: 'None found' },
            { value: 'found', label: 'Found' },
          ]}
        />
      </PointList>
    </form>
  )
}
