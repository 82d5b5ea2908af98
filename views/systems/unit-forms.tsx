// Which unit comes, which one goes, and why?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { UnitRole } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import {
  AreaField,
  CheckField,
  ChoiceField,
  type FormState,
  type Option,
  OtherErrors,
  SelectField,
  TextField,
} from '../parts/field.tsx'
import { MomentField } from '../section-tests/set-up-fields.tsx'

export interface UnitFormProps {
  shell: Shell
  id: string
  system: { id: string; name: string }
  sheets: readonly Option[]
  replaced: { id: string; role: UnitRole; name: string; serial: string } | undefined
  form?: FormState | undefined
}

const theRoles = (): (Option & { value: UnitRole })[] => [
  { value: 'indoor', label: say.systems.indoor },
  { value: 'outdoor', label: say.systems.outdoor },
  { value: 'branch', label: say.systems.branchBox },
]

export function UnitForm({ shell, id, system, sheets, replaced, form }: UnitFormProps): JSX.Element {
  const title = replaced ? say.systems.replace(replaced.name) : say.systems.newUnit
  return (
    <Layout {...shell} title={title} width="narrow">
      <h1>{title}</h1>
      <p class="lead">
        {system.name}
        {replaced ? say.systems.serialStaysOnRecord(replaced.serial) : ''}
      </p>
      {replaced ? <OpenCircuitCaution /> : null}
      <form method="post" action={`/systems/${system.id}/units`}>
        <input type="hidden" name="id" value={id} />
        <OtherErrors
          form={form}
          fields={[
            'role',
            'name',
            'model',
            'serial',
            'equipmentSheetId',
            'installedAt@',
            'reason',
            'warrantyStart@',
            'warrantyEnd@',
            'registeredWithMaker?',
          ]}
        />
        {replaced ? (
          <>
            <input type="hidden" name="replacesUnitId" value={replaced.id} />
            <input type="hidden" name="role" value={replaced.role} />
          </>
        ) : (
          <>
            <ChoiceField
              name="role"
              label={say.systems.itIs}
              inline
              required
              options={theRoles()}
              value="indoor"
              form={form}
            />
            <TextField
              name="name"
              label={say.systems.roomOrPlace}
              required={false}
              maxlength={120}
              autocomplete="off"
              form={form}
            />
          </>
        )}
        <TextField
          name="model"
          label={say.systems.model}
          required
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        <TextField
          name="serial"
          label={say.systems.serial}
          hint={say.systems.exactlyAsOnThe}
          required
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        {replaced ? (
          <AreaField
            name="reason"
            label={say.systems.whyItIsReplaced}
            required
            rows={2}
            maxlength={2000}
            form={form}
          />
        ) : null}
        <details open={(form?.errors.length ?? 0) > 0}>
          <summary>{say.systems.whenWarrantySheet}</summary>
          <MomentField
            name="installedAt@"
            label={say.systems.installed}
            hint={say.systems.leaveItEmptyFor}
            form={form}
          />
          <MomentField
            name="warrantyStart@"
            label={say.systems.warrantyFrom}
            hint={say.systems.leaveItEmptyWhen}
            form={form}
          />
          <MomentField
            name="warrantyEnd@"
            label={say.systems.warrantyUntil}
            hint={say.systems.leaveItEmptyWhen}
            form={form}
          />
          <CheckField name="registeredWithMaker?" label={say.systems.registeredWithTheMaker} form={form} />
          <SelectField
            name="equipmentSheetId"
            label={say.systems.itsOwnEquipmentSheet}
            choose={say.systems.none}
            options={sheets}
            form={form}
          />
        </details>
        <Button>{replaced ? say.systems.replaceIt : say.systems.addTheUnit}</Button>
      </form>
    </Layout>
  )
}

export interface RemovalFormProps {
  shell: Shell
  id: string
  system: { id: string; name: string }
  unit: { id: string; name: string; model: string; serial: string; removedAt: number | null }
  form?: FormState | undefined
}

export function RemovalForm({ shell, id, system, unit, form }: RemovalFormProps): JSX.Element {
  return (
    <Layout {...shell} title={say.systems.takeOut(unit.name)} width="narrow">
      <h1>{say.systems.takeOut(unit.name)}</h1>
      <p class="lead">{say.systems.serialItStaysOn(system.name, unit.model, unit.serial)}</p>
      {unit.removedAt === null ? null : <p class="why">{say.systems.itWasAlreadyTaken}</p>}
      <OpenCircuitCaution />
      <form method="post" action={`/units/${unit.id}/removal`}>
        <input type="hidden" name="id" value={id} />
        <OtherErrors form={form} fields={['reason', 'removedAt@']} />
        <AreaField name="reason" label={say.systems.why} required rows={2} maxlength={2000} form={form} />
        <MomentField
          name="removedAt@"
          label={say.systems.when}
          hint={say.systems.leaveItEmptyFor}
          form={form}
        />
        <div class="actions">
          <Button kind="refuse">{say.systems.takeItOut}</Button>
          <a class="button other" href={`/systems/${system.id}`}>
            {say.systems.leaveItIn}
          </a>
        </div>
      </form>
    </Layout>
  )
}

function OpenCircuitCaution(): JSX.Element {
  return (
    <Caution harm={['environment', 'frostbite', 'electricity']}>
      {say.systems.recoverTheRefrigerantBefore}
    </Caution>
  )
}
