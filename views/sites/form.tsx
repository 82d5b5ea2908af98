// What is a site called and where is it? The form for a new one and for changing one.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { AreaField, type FormState, OtherErrors, QuantityField, TextField } from '../parts/field.tsx'
import { ELEVATION_UNITS } from '../section-tests/unit-options.ts'

export interface SiteView {
  id: string
  customerName: string
  address: string
  town: string
  contact: string | null
  elevationM: number | null
}

const FIELDS = ['customerName', 'address', 'town', 'contact', 'elevation']

export function NewSite(props: { shell: Shell; id: string; form?: FormState | undefined }): JSX.Element {
  return (
    <Layout {...props.shell} title="New site" width="narrow">
      <h1>New site</h1>
      <form method="post" action="/sites">
        <input type="hidden" name="id" value={props.id} />
        <SiteFields form={props.form} />
        <Button>Add the site</Button>
      </form>
    </Layout>
  )
}

export function EditSite(props: { shell: Shell; site: SiteView; form?: FormState | undefined }): JSX.Element {
  return (
    <Layout {...props.shell} title={`Change ${props.site.customerName}`} width="narrow">
      <h1>Change this site</h1>
      <form method="post" action={`/sites/${props.site.id}`}>
        <SiteFields site={props.site} form={props.form} />
        <div class="actions">
          <Button>Keep the changes</Button>
          <a class="button other" href={`/sites/${props.site.id}`}>
            Leave it as it was
          </a>
        </div>
      </form>
    </Layout>
  )
}

function SiteFields({
  site,
  form,
}: {
  site?: SiteView | undefined
  form?: FormState | undefined
}): JSX.Element {
  return (
    <>
      <OtherErrors form={form} fields={FIELDS} />
      <TextField
        name="customerName"
        label="Customer"
        required
        maxlength={200}
        autocomplete="off"
        value={site?.customerName}
        form={form}
        autofocus
      />
      <AreaField
        name="address"
        label="Address"
        hint="Street, then town: the town comes after the last comma."
        required
        rows={2}
        maxlength={500}
        value={site?.address}
        form={form}
      />
      <TextField
        name="town"
        label="Town, if it is not the last part of the address"
        hint="The only part of the address that somebody who checks a certificate sees."
        maxlength={120}
        autocomplete="off"
        value={site?.town}
        form={form}
      />
      <TextField
        name="contact"
        label="Contact"
        hint="Who to ask for, and how to reach them."
        required={false}
        maxlength={500}
        autocomplete="off"
        value={site?.contact ?? undefined}
        form={form}
      />
      <QuantityField
        name="elevation"
        label="Height above sea level"
        hint="Sets the air pressure that gauge readings are corrected by. Left out, sea level is taken."
        required={false}
        quantity="elevation"
        units={ELEVATION_UNITS}
        unit="m"
        value={site?.elevationM == null ? undefined : String(Number(site.elevationM.toFixed(1)))}
        form={form}
      />
    </>
  )
}
