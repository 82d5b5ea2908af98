// What is this system called, what runs in it, and by which sheet is it judged?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { REFRIGERANT_NAMES } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { type FormState, type Option, OtherErrors, SelectField, TextField } from '../parts/field.tsx'

export interface NewSystemProps {
  shell: Shell
  id: string
  jobId: string
  /** Customer and address, in one line. */
  site: string
  sheets: readonly Option[]
  form?: FormState | undefined
}

export function NewSystem(props: NewSystemProps): JSX.Element {
  const { form } = props
  return (
    <Layout {...props.shell} title="New system" width="narrow">
      <h1>New system</h1>
      <p class="lead">{props.site}</p>
      <p class="actions">
        <a class="button other" href={`/jobs/${props.jobId}/systems/copy`}>
          Set it up as an earlier one
        </a>
      </p>
      <form method="post" action={`/jobs/${props.jobId}/systems`}>
        <input type="hidden" name="id" value={props.id} />
        <OtherErrors
          form={form}
          fields={['name', 'refrigerant', 'equipmentSheetId', 'outdoorModel', 'outdoorSerial', 'tagPrefix']}
        />
        <TextField
          name="name"
          label="Name"
          hint="As people there would call it: “Upstairs”, “Shop”."
          required
          maxlength={120}
          autocomplete="off"
          form={form}
          autofocus
        />
        <SelectField
          name="refrigerant"
          label="Refrigerant"
          beside
          options={REFRIGERANT_NAMES.map((name) => ({ value: name, label: name }))}
          value="R-32"
          form={form}
        />
        <SelectField
          name="equipmentSheetId"
          label="Equipment sheet"
          hint={
            <>
              The manual’s own figures. Without one, built-in figures are used and every page says so.{' '}
              <a href="/equipment-sheets/new">Enter a sheet</a>
            </>
          }
          choose="none yet"
          options={props.sheets}
          form={form}
        />
        <TextField
          name="outdoorModel"
          label="Outdoor unit: model"
          required={false}
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        <TextField
          name="outdoorSerial"
          label="Outdoor unit: serial"
          required={false}
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        <TextField
          name="tagPrefix"
          label="Tags begin with"
          hint="What is written on the pipe, before the joint’s number. Left out, the next free one is given."
          required={false}
          maxlength={8}
          autocomplete="off"
          form={form}
        />
        <Button>Add the system</Button>
      </form>
    </Layout>
  )
}

export interface EditSystemProps {
  shell: Shell
  system: { id: string; name: string; refrigerant: string; equipmentSheetId: string | null }
  /** Of this refrigerant. */
  sheets: readonly Option[]
  form?: FormState | undefined
}

export function EditSystem({ shell, system, sheets, form }: EditSystemProps): JSX.Element {
  return (
    <Layout {...shell} title={`Change ${system.name}`} width="narrow">
      <h1>Change {system.name}</h1>
      <form method="post" action={`/systems/${system.id}`}>
        <OtherErrors form={form} fields={['name', 'equipmentSheetId']} />
        <TextField name="name" label="Name" required maxlength={120} value={system.name} form={form} />
        <SelectField
          name="equipmentSheetId"
          label="Equipment sheet"
          hint={`Only sheets for ${system.refrigerant} are listed. Jobs that are sealed keep what they were judged by.`}
          choose="none"
          options={sheets}
          value={system.equipmentSheetId ?? undefined}
          form={form}
        />
        <div class="actions">
          <Button>Keep the changes</Button>
          <a class="button other" href={`/systems/${system.id}`}>
            Leave it as it was
          </a>
        </div>
      </form>
    </Layout>
  )
}
