// Do you want to leave this browser signed out?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'

export function SignOutPage({ shell }: { shell: Shell }): JSX.Element {
  return (
    <Layout {...shell} title="Sign out" width="narrow">
      <h1>Sign out</h1>
      <p class="lead">
        What you recorded is kept. This browser then shows nothing of it until somebody signs in.
      </p>
      <form method="post" action="/sign-out">
        <Button>Sign out</Button>
      </form>
      <p>
        <a href="/">Stay signed in</a>
      </p>
    </Layout>
  )
}
