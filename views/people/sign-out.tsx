// Do you want to leave this browser signed out?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'

export function SignOutPage({ shell }: { shell: Shell }): JSX.Element {
  return (
    <Layout {...shell} title={say.people.signOut} width="narrow">
      <h1>{say.people.signOut}</h1>
      <p class="lead">{say.people.whatYouRecordedIs}</p>
      <form method="post" action="/sign-out">
        <Button>{say.people.signOut}</Button>
      </form>
      <p>
        <a href="/">{say.people.staySignedIn}</a>
      </p>
    </Layout>
  )
}
