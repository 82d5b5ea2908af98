// Which joint is there besides those at the line set's ends, and which one is gone?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import {
  AreaField,
  ChoiceField,
  type FormState,
  type Option,
  OtherErrors,
  SelectField,
  TextField,
} from '../parts/field.tsx'
import { MomentField } from '../section-tests/set-up-fields.tsx'
import { TUBE_SIZES } from './line-set-form.tsx'

const KINDS: Option[] = [
  { value: 'flare', label: 'flare' },
  { value: 'brazed', label: 'brazed' },
  { value: 'press', label: 'pressed' },
  { value: 'quick-coupling', label: 'quick coupling' },
  { value: 'compression', label: 'compression' },
  { value: 'adapter', label: 'adapter' },
  { value: 'service-port', label: 'service port' },
  { value: 'valve-cap', label: 'valve cap' },
]

export interface JointFormProps {
  shell: Shell
  id: string
  system: { id: string; name: string }
  lineSets: readonly Option[]
  form?: FormState | undefined
}

export function JointForm({ shell, id, system, lineSets, form }: JointFormProps): JSX.Element {
  return (
    <Layout {...shell} title="New joint" width="narrow">
      <h1>New joint</h1>
      <p class="lead">{system.name}. It gets the next number.</p>
      <form method="post" action={`/systems/${system.id}/joints`}>
        <input type="hidden" name="id" value={id} />
        <OtherErrors
          form={form}
          fields={['lineSetId', 'place', 'line', 'tubeOd', 'kind', 'origin', 'indoors?']}
        />
        <SelectField
          name="lineSetId"
          label="Line set"
          beside
          choose="none of them"
          options={lineSets}
          value={lineSets.length === 1 ? lineSets[0]?.value : undefined}
          form={form}
        />
        <ChoiceField
          name="line"
          label="Line"
          inline
          required
          options={[
            { value: 'liquid', label: 'liquid' },
            { value: 'gas', label: 'gas' },
          ]}
          form={form}
        />
        <TextField
          name="place"
          label="Where"
          hint="So that somebody else finds it: “coupling in the loft”."
          required
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        <SelectField name="kind" label="Kind" beside options={KINDS} value="brazed" form={form} />
        <SelectField
          name="tubeOd"
          label="Tube"
          beside
          options={TUBE_SIZES.map(({ value, label }) => ({ value, label }))}
          value="0.375 in"
          form={form}
        />
        <ChoiceField
          name="origin"
          label="Made"
          inline
          required
          options={[
            { value: 'field', label: 'here' },
            { value: 'factory', label: 'in the factory' },
            { value: 'existing', label: 'was there before' },
          ]}
          value="field"
          form={form}
        />
        <ChoiceField
          name="indoors?"
          label="Inside the building?"
          inline
          required
          options={[
            { value: 'yes', label: 'inside' },
            { value: 'no', label: 'outside' },
          ]}
          form={form}
        />
        <Button>Add the joint</Button>
      </form>
    </Layout>
  )
}

export interface RetireFormProps {
  shell: Shell
  id: string
  system: { id: string; name: string }
  joint: { id: string; tag: string }
  /** Open jobs on the system. */
  jobs: readonly Option[]
  form?: FormState | undefined
}

export function RetireForm({ shell, id, system, joint, jobs, form }: RetireFormProps): JSX.Element {
  const [only] = jobs
  return (
    <Layout {...shell} title={`Retire ${joint.tag}`} width="narrow">
      <h1>
        Retire joint <span class="tag">{joint.tag}</span>
      </h1>
      <p class="lead">{system.name}. Its record stays; its tag is never given again.</p>
      {only === undefined ? (
        <p class="why">No job is open on this system. Open one first: a joint is taken out on a job.</p>
      ) : (
        <>
          <Caution harm={['pressure', 'environment']}>
            Never cut or loosen a joint under pressure. Recover the refrigerant first.
          </Caution>
          <form method="post" action={`/joints/${joint.id}/retire`}>
            <input type="hidden" name="id" value={id} />
            <OtherErrors form={form} fields={['jobId', 'reason', 'retiredAt@']} />
            {jobs.length === 1 ? (
              <input type="hidden" name="jobId" value={only.value} />
            ) : (
              <SelectField name="jobId" label="On which job" options={jobs} form={form} />
            )}
            <AreaField
              name="reason"
              label="Why"
              hint="Such as: cut out with the old tube."
              required
              rows={2}
              maxlength={2000}
              form={form}
            />
            <MomentField name="retiredAt@" label="When" hint="Leave it empty for now." form={form} />
            <div class="actions">
              <Button kind="refuse">Retire it</Button>
              <a class="button other" href={`/systems/${system.id}`}>
                Leave it in the line
              </a>
            </div>
          </form>
        </>
      )}
    </Layout>
  )
}
