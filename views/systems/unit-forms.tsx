// Which unit comes, which one goes, and why?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { UnitRole } from '../../server/vocabulary.ts'
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

const ROLES: (Option & { value: UnitRole })[] = [
  { value: 'indoor', label: 'indoor' },
  { value: 'outdoor', label: 'outdoor' },
  { value: 'branch', label: 'branch box' },
]

export function UnitForm({ shell, id, system, sheets, replaced, form }: UnitFormProps): JSX.Element {
  const title = replaced ? `Replace ${replaced.name}` : 'New unit'
  return (
    <Layout {...shell} title={title} width="narrow">
      <h1>{title}</h1>
      <p class="lead">
        {system.name}
        {replaced ? `. Serial ${replaced.serial} stays on record, with the day it went.` : ''}
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
              label="It is"
              inline
              required
              options={ROLES}
              value="indoor"
              form={form}
            />
            <TextField
              name="name"
              label="Room or place"
              required={false}
              maxlength={120}
              autocomplete="off"
              form={form}
            />
          </>
        )}
        <TextField name="model" label="Model" required maxlength={120} autocomplete="off" form={form} />
        <TextField
          name="serial"
          label="Serial"
          hint="Exactly as on the plate."
          required
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        {replaced ? (
          <AreaField
            name="reason"
            label="Why it is replaced"
            required
            rows={2}
            maxlength={2000}
            form={form}
          />
        ) : null}
        <details open={(form?.errors.length ?? 0) > 0}>
          <summary>When, warranty, sheet</summary>
          <MomentField name="installedAt@" label="Installed" hint="Leave it empty for now." form={form} />
          <MomentField
            name="warrantyStart@"
            label="Warranty from"
            hint="Leave it empty when it is not known."
            form={form}
          />
          <MomentField
            name="warrantyEnd@"
            label="Warranty until"
            hint="Leave it empty when it is not known."
            form={form}
          />
          <CheckField name="registeredWithMaker?" label="Registered with the maker" form={form} />
          <SelectField
            name="equipmentSheetId"
            label="Its own equipment sheet"
            choose="none"
            options={sheets}
            form={form}
          />
        </details>
        <Button>{replaced ? 'Replace it' : 'Add the unit'}</Button>
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
    <Layout {...shell} title={`Take out ${unit.name}`} width="narrow">
      <h1>Take out {unit.name}</h1>
      <p class="lead">
        {system.name}: {unit.model}, serial {unit.serial}. It stays on record.
      </p>
      {unit.removedAt === null ? null : <p class="why">It was already taken out.</p>}
      <OpenCircuitCaution />
      <form method="post" action={`/units/${unit.id}/removal`}>
        <input type="hidden" name="id" value={id} />
        <OtherErrors form={form} fields={['reason', 'removedAt@']} />
        <AreaField name="reason" label="Why" required rows={2} maxlength={2000} form={form} />
        <MomentField name="removedAt@" label="When" hint="Leave it empty for now." form={form} />
        <div class="actions">
          <Button kind="refuse">Take it out</Button>
          <a class="button other" href={`/systems/${system.id}`}>
            Leave it in
          </a>
        </div>
      </form>
    </Layout>
  )
}

function OpenCircuitCaution(): JSX.Element {
  return (
    <Caution harm={['environment', 'frostbite', 'electricity']}>
      Recover the refrigerant before anything is opened. Isolate and lock out, wait the label’s time and
      measure: capacitors stay charged. Gloves and eye protection.
    </Caution>
  )
}
