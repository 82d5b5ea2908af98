// What is this system called, what runs in it, and by which sheet is it judged?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { REFRIGERANT_NAMES } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
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
    <Layout {...props.shell} title={say.systems.newSystem} width="narrow">
      <h1>{say.systems.newSystem}</h1>
      <p class="lead">{props.site}</p>
      <p class="actions">
        <a class="button other" href={`/jobs/${props.jobId}/systems/copy`}>
          {say.systems.setItUpAs}
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
          label={say.systems.name}
          hint={say.systems.asPeopleThereWould}
          required
          maxlength={120}
          autocomplete="off"
          form={form}
          autofocus
        />
        <SelectField
          name="refrigerant"
          label={say.systems.refrigerant}
          beside
          options={REFRIGERANT_NAMES.map((name) => ({ value: name, label: name }))}
          value="R-32"
          form={form}
        />
        <SelectField
          name="equipmentSheetId"
          label={say.systems.equipmentSheet}
          hint={say.systems.theManualsOwnFigures(
            <a href="/equipment-sheets/new">{say.systems.enterASheet2}</a>,
          )}
          choose={say.systems.noneYet}
          options={props.sheets}
          form={form}
        />
        <TextField
          name="outdoorModel"
          label={say.systems.outdoorUnitModel}
          required={false}
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        <TextField
          name="outdoorSerial"
          label={say.systems.outdoorUnitSerial}
          required={false}
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        <TextField
          name="tagPrefix"
          label={say.systems.tagsBeginWith}
          hint={say.systems.whatIsWrittenOn}
          required={false}
          maxlength={8}
          autocomplete="off"
          form={form}
        />
        <Button>{say.systems.addTheSystem}</Button>
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
    <Layout {...shell} title={say.systems.change(system.name)} width="narrow">
      <h1>{say.systems.change(system.name)}</h1>
      <form method="post" action={`/systems/${system.id}`}>
        <OtherErrors form={form} fields={['name', 'equipmentSheetId']} />
        <TextField
          name="name"
          label={say.systems.name}
          required
          maxlength={120}
          value={system.name}
          form={form}
        />
        <SelectField
          name="equipmentSheetId"
          label={say.systems.equipmentSheet}
          hint={say.systems.onlySheetsForAre(system.refrigerant)}
          choose={say.systems.none}
          options={sheets}
          value={system.equipmentSheetId ?? undefined}
          form={form}
        />
        <div class="actions">
          <Button>{say.systems.keepTheChanges}</Button>
          <a class="button other" href={`/systems/${system.id}`}>
            {say.systems.leaveItAsIt}
          </a>
        </div>
      </form>
    </Layout>
  )
}
