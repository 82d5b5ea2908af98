// What is a site called and where is it? The form for a new one and for changing one.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
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
    <Layout {...props.shell} title={say.sites.newSite} width="narrow">
      <h1>{say.sites.newSite}</h1>
      <form method="post" action="/sites">
        <input type="hidden" name="id" value={props.id} />
        <SiteFields form={props.form} />
        <Button>{say.sites.addTheSite}</Button>
      </form>
    </Layout>
  )
}

export function EditSite(props: { shell: Shell; site: SiteView; form?: FormState | undefined }): JSX.Element {
  return (
    <Layout {...props.shell} title={say.sites.change(props.site.customerName)} width="narrow">
      <h1>{say.sites.changeThisSite}</h1>
      <form method="post" action={`/sites/${props.site.id}`}>
        <SiteFields site={props.site} form={props.form} />
        <div class="actions">
          <Button>{say.sites.keepTheChanges}</Button>
          <a class="button other" href={`/sites/${props.site.id}`}>
            {say.sites.leaveItAsIt}
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
        label={say.sites.customer}
        required
        maxlength={200}
        autocomplete="off"
        value={site?.customerName}
        form={form}
        autofocus
      />
      <AreaField
        name="address"
        label={say.sites.address}
        hint={say.sites.streetThenTownThe}
        required
        rows={2}
        maxlength={500}
        value={site?.address}
        form={form}
      />
      <TextField
        name="town"
        label={say.sites.townIfItIs}
        hint={say.sites.theOnlyPartOf}
        maxlength={120}
        autocomplete="off"
        value={site?.town}
        form={form}
      />
      <TextField
        name="contact"
        label={say.sites.contact}
        hint={say.sites.whoToAskFor}
        required={false}
        maxlength={500}
        autocomplete="off"
        value={site?.contact ?? undefined}
        form={form}
      />
      <QuantityField
        name="elevation"
        label={say.sites.heightAboveSeaLevel}
        hint={say.sites.setsTheAirPressure}
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
