// What is a new job about? One visit's scope of work at a site.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { JOB_KINDS } from '../../server/vocabulary.ts'
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { type FormState, OtherErrors, SelectField, TextField } from '../parts/field.tsx'

export interface NewJobPageProps {
  shell: Shell
  freshId: string
  sites: readonly { id: string; customerName: string; address: string }[]
  systems: readonly { id: string; name: string; siteId: string }[]
  crew: readonly { id: string; name: string }[]
  siteId?: string | undefined
  form?: FormState | undefined
}

export function NewJobPage(props: NewJobPageProps): JSX.Element {
  const { form } = props
  if (props.sites.length === 0)
    return (
      <Layout {...props.shell} title={say.jobs.openAJob} width="narrow">
        <h1>{say.jobs.openAJob}</h1>
        <Empty title={say.jobs.aJobNeedsA} action={{ href: '/sites/new', label: say.jobs.addASite }}>
          {say.jobs.aSiteIsAn}
        </Empty>
      </Layout>
    )
  return (
    <Layout {...props.shell} title={say.jobs.openAJob} width="narrow">
      <h1>{say.jobs.openAJob}</h1>
      <form method="post" action="/jobs" class="sheet">
        <input type="hidden" name="id" value={form?.values.id ?? props.freshId} />
        <OtherErrors form={form} fields={['siteId', 'kind', 'reference', 'assignedTo']} />
        <SelectField
          name="siteId"
          label={say.jobs.site}
          form={form}
          value={props.siteId ?? ''}
          options={[
            ...(props.siteId ? [] : [{ value: '', label: say.jobs.chooseASite }]),
            ...props.sites.map((site) => ({
              value: site.id,
              label: `${site.address} (${site.customerName})`,
            })),
          ]}
        />
        <SelectField
          name="kind"
          label={say.jobs.kindOfWork}
          form={form}
          value="installation"
          options={JOB_KINDS.map((kind) => ({ value: kind, label: coded(kind) }))}
        />
        <TextField name="reference" label={say.jobs.yourReferenceIfAny} form={form} />
        <SelectField
          name="assignedTo"
          label={say.jobs.forWord}
          form={form}
          value=""
          options={[
            { value: '', label: say.jobs.nobodyYet },
            ...props.crew.map((person) => ({ value: person.id, label: person.name })),
          ]}
        />
        {props.siteId === undefined || props.systems.length === 0 ? null : (
          <fieldset>
            <legend>{say.jobs.systemsThatAreThere}</legend>
            <p class="hint">{say.jobs.leaveAllUnmarkedFor}</p>
            {props.systems
              .filter((system) => system.siteId === props.siteId)
              .map((system) => (
                <label class="choice" key={system.id}>
                  <input
                    type="checkbox"
                    name={`_system.${system.id}`}
                    value="yes"
                    checked={form?.values[`_system.${system.id}`] === 'yes'}
                  />{' '}
                  {system.name}
                </label>
              ))}
          </fieldset>
        )}
        <Button>{say.jobs.openTheJob}</Button>
      </form>
    </Layout>
  )
}
