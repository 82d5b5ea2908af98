// Where does a company's own provider take over from here?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'

interface Way {
  companyName: string
  name: string
  href: string
}

/** One company's own page to sign in on. Links, since a form may lead nowhere else (form-action). */
export function WayInPage({ way, refused }: { way: Way; refused?: string | undefined }): JSX.Element {
  return (
    <Layout
      title={say.openid.signInAt(way.companyName)}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{say.openid.signInAt(way.companyName)}</h1>
      <p>
        <a class="button do" href={way.href} hx-boost="false">
          {say.openid.goTo(way.name)}
        </a>
      </p>
      <p class="soft">{say.openid.goesElsewhere}</p>
      <p>{say.openid.orWithPassword(<a href="/sign-in">{say.openid.withPassword}</a>)}</p>
    </Layout>
  )
}

export interface FindWayInProps {
  email: string
  /** Null where nothing was asked yet. */
  ways: readonly Way[] | null
  refused?: string | undefined
}

export function FindWayInPage({ email, ways, refused }: FindWayInProps): JSX.Element {
  return (
    <Layout
      title={say.openid.byCompany}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{say.openid.byCompany}</h1>
      <form method="get" action="/sign-in/by" class="sheet">
        <TextField
          name="email"
          type="email"
          inputmode="email"
          autocomplete="username"
          label={say.openid.yourAddress}
          value={email}
          required
        />
        <Button>{say.openid.findIt}</Button>
      </form>
      {ways === null ? null : ways.length === 0 ? (
        <p class="message">{say.openid.noneFor}</p>
      ) : (
        <ul class="rows">
          {ways.map((way) => (
            <li key={way.href}>
              <a class="row" href={way.href}>
                <b>{way.companyName}</b>
                <span>{way.name}</span>
              </a>
            </li>
          ))}
        </ul>
      )}
      <p>{say.openid.orWithPassword(<a href="/sign-in">{say.openid.withPassword}</a>)}</p>
    </Layout>
  )
}
