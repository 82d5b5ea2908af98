// Which joint is there besides those at the line set's ends, and which one is gone?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
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

const kinds = (): Option[] => [
  { value: 'flare', label: say.systems.flare },
  { value: 'brazed', label: say.systems.brazed2 },
  { value: 'press', label: say.systems.pressed2 },
  { value: 'quick-coupling', label: say.systems.quickCoupling },
  { value: 'compression', label: say.systems.compression },
  { value: 'adapter', label: say.systems.adapter },
  { value: 'service-port', label: say.systems.servicePort },
  { value: 'valve-cap', label: say.systems.valveCap },
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
    <Layout {...shell} title={say.systems.newJoint} width="narrow">
      <h1>{say.systems.newJoint}</h1>
      <p class="lead">{say.systems.itGetsTheNext(system.name)}</p>
      <form method="post" action={`/systems/${system.id}/joints`}>
        <input type="hidden" name="id" value={id} />
        <OtherErrors
          form={form}
          fields={['lineSetId', 'place', 'line', 'tubeOd', 'kind', 'origin', 'indoors?']}
        />
        <SelectField
          name="lineSetId"
          label={say.systems.lineSet2}
          beside
          choose={say.systems.noneOfThem}
          options={lineSets}
          value={lineSets.length === 1 ? lineSets[0]?.value : undefined}
          form={form}
        />
        <ChoiceField
          name="line"
          label={say.systems.line2}
          inline
          required
          options={[
            { value: 'liquid', label: say.systems.liquid },
            { value: 'gas', label: say.systems.gas },
          ]}
          form={form}
        />
        <TextField
          name="place"
          label={say.systems.where}
          hint={say.systems.soThatSomebodyElse}
          required
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        <SelectField
          name="kind"
          label={say.systems.kind}
          beside
          options={kinds()}
          value="brazed"
          form={form}
        />
        <SelectField
          name="tubeOd"
          label={say.systems.tube}
          beside
          options={TUBE_SIZES.map(({ value, label }) => ({ value, label }))}
          value="0.375 in"
          form={form}
        />
        <ChoiceField
          name="origin"
          label={say.systems.made}
          inline
          required
          options={[
            { value: 'field', label: say.systems.here },
            { value: 'factory', label: say.systems.inTheFactory },
            { value: 'existing', label: say.systems.wasThereBefore },
          ]}
          value="field"
          form={form}
        />
        <ChoiceField
          name="indoors?"
          label={say.systems.insideTheBuilding2}
          inline
          required
          options={[
            { value: 'yes', label: say.systems.inside },
            { value: 'no', label: say.systems.outside },
          ]}
          form={form}
        />
        <Button>{say.systems.addTheJoint}</Button>
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
    <Layout {...shell} title={say.systems.retire(joint.tag)} width="narrow">
      <h1>{say.systems.retireJoint(<span class="tag">{joint.tag}</span>)}</h1>
      <p class="lead">{say.systems.itsRecordStaysIts(system.name)}</p>
      {only === undefined ? (
        <p class="why">{say.systems.noJobIsOpen}</p>
      ) : (
        <>
          <Caution harm={['pressure', 'environment']}>{say.systems.neverCutOrLoosen}</Caution>
          <form method="post" action={`/joints/${joint.id}/retire`}>
            <input type="hidden" name="id" value={id} />
            <OtherErrors form={form} fields={['jobId', 'reason', 'retiredAt@']} />
            {jobs.length === 1 ? (
              <input type="hidden" name="jobId" value={only.value} />
            ) : (
              <SelectField name="jobId" label={say.systems.onWhichJob} options={jobs} form={form} />
            )}
            <AreaField
              name="reason"
              label={say.systems.why}
              hint={say.systems.suchAsCutOut}
              required
              rows={2}
              maxlength={2000}
              form={form}
            />
            <MomentField
              name="retiredAt@"
              label={say.systems.when}
              hint={say.systems.leaveItEmptyFor}
              form={form}
            />
            <div class="actions">
              <Button kind="refuse">{say.systems.retireIt}</Button>
              <a class="button other" href={`/systems/${system.id}`}>
                {say.systems.leaveItInThe}
              </a>
            </div>
          </form>
        </>
      )}
    </Layout>
  )
}
