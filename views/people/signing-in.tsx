// Where are you signed in, and when did you sign in?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { SignInRow } from '../../server/store/queries/sign-ins.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Flash } from '../parts/flash.tsx'
import { When } from '../parts/when.tsx'
import { browserWords, SignIns } from './sign-ins.tsx'

export interface SigningInProps {
  shell: Shell
  sessions: readonly {
    handle: string | null
    browser: string | null
    createdAt: number
    lastUsedAt: number | null
    here: boolean
  }[]
  signIns: readonly SignInRow[]
  refused?: string | undefined
}

export function SigningInPage(props: SigningInProps): JSX.Element {
  const { shell, sessions, signIns, refused } = props
  return (
    <Layout
      {...shell}
      title={say.signing.howYouSignIn}
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>
        <a href="/me">{say.people.you}</a>
      </p>
      <h1>{say.signing.howYouSignIn}</h1>
      <section>
        <h2>{say.signing.whereYouAreSignedIn}</h2>
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{say.signing.browser}</th>
              <th scope="col">{say.signing.signedInSince}</th>
              <th scope="col">{say.signing.lastUsed}</th>
              <th scope="col">
                <span class="vh">{say.signing.whatYouCanDo}</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {sessions.map((one) => (
              <tr key={one.handle ?? one.createdAt}>
                <th scope="row">
                  {browserWords(one.browser)}
                  {one.here ? <span class="soft"> {say.signing.thisBrowser}</span> : null}
                </th>
                <td data-label={say.signing.signedInSince}>
                  <When at={one.createdAt} />
                </td>
                <td data-label={say.signing.lastUsed}>
                  <When at={one.lastUsedAt ?? one.createdAt} />
                </td>
                <td>
                  {one.here || one.handle === null ? null : (
                    <form method="post" action={`/me/sessions/${one.handle}/end`}>
                      <Button kind="refuse">
                        {say.signing.signOutThere}
                        <span class="vh"> {browserWords(one.browser)}</span>
                      </Button>
                    </form>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
        <p class="soft">{say.signing.lastUsedIsToTheHour}</p>
        {sessions.length < 2 ? null : (
          <form method="post" action="/me/sessions/end-others">
            <Button kind="refuse">{say.signing.signOutEverywhereElse}</Button>
          </form>
        )}
        <p class="soft">{say.signing.whatWaitsOnAPhone}</p>
      </section>
      <section>
        <h2>{say.signing.whenYouSignedIn}</h2>
        <SignIns items={signIns} />
      </section>
    </Layout>
  )
}
