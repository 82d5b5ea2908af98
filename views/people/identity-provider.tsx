// By which provider of its own does this company let its members sign in?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { CheckField, type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'

export interface IdentityProviderProps {
  shell: Shell
  provider: {
    name: string
    issuer: string
    clientId: string
    hasSecret: boolean
    domains: readonly string[]
    active: boolean
  } | null
  /** Where the provider sends a browser back to. */
  backTo: string
  /** The company's own page to sign in on. */
  wayIn: string | null
  kept: boolean
  form?: FormState | undefined
  refused?: string | undefined
}

const FIELDS = ['name', 'issuer', 'clientId', 'clientSecret', 'domains', 'active']

export function IdentityProviderPage(props: IdentityProviderProps): JSX.Element {
  const { provider, form } = props
  return (
    <Layout
      {...props.shell}
      title={say.openid.ownProvider}
      width="narrow"
      flash={
        props.refused !== undefined ? (
          <Flash kind="refused">{props.refused}</Flash>
        ) : props.kept ? (
          <Flash kind="done">{provider?.active ? say.openid.kept : say.openid.keptOff}</Flash>
        ) : undefined
      }
    >
      <p>
        <a href="/members">{say.people.people}</a>
      </p>
      <h1>{say.openid.ownProvider}</h1>
      <p class="lead">{say.openid.whatItIs}</p>
      {provider?.active && props.wayIn !== null ? (
        <p>
          {say.openid.ownAddress}{' '}
          <a class="verbatim" href={props.wayIn}>
            {props.wayIn}
          </a>
        </p>
      ) : null}
      <p>
        {say.openid.redirect} <code class="verbatim">{props.backTo}</code>
      </p>
      <form method="post" action="/company/sign-in" class="sheet">
        <OtherErrors form={form} fields={FIELDS} />
        <TextField
          name="name"
          label={say.openid.name}
          hint={say.openid.nameHint}
          value={provider?.name}
          maxlength={60}
          required
          form={form}
        />
        <TextField
          name="issuer"
          type="url"
          label={say.openid.issuer}
          hint={say.openid.issuerHint}
          value={provider?.issuer}
          maxlength={500}
          autocomplete="off"
          required
          form={form}
        />
        <TextField
          name="clientId"
          label={say.openid.clientId}
          value={provider?.clientId}
          maxlength={300}
          autocomplete="off"
          required
          form={form}
        />
        <TextField
          name="clientSecret"
          type="password"
          label={say.openid.clientSecret}
          hint={provider?.hasSecret ? say.openid.secretKeptHint : say.openid.secretHint}
          maxlength={1000}
          autocomplete="off"
          form={form}
        />
        <TextField
          name="domains"
          label={say.openid.domains}
          hint={say.openid.domainsHint}
          value={provider?.domains.join(' ')}
          maxlength={3000}
          autocomplete="off"
          form={form}
        />
        <CheckField
          name="active"
          label={say.openid.inUse}
          value={provider === null || provider.active ? 'true' : undefined}
          form={form}
        />
        <Button>{say.openid.keep}</Button>
      </form>
      {provider === null ? null : (
        <form method="post" action="/company/sign-in/remove" class="sheet">
          <p class="why">{say.openid.takingAway}</p>
          <Button kind="refuse">{say.openid.takeAway}</Button>
        </form>
      )}
    </Layout>
  )
}
