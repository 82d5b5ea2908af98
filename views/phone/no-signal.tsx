// What is there to read while there is no signal, when the page that was asked for is not?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'

/** Kept by the phone beforehand, so it knows nobody: what is theirs stands on the pages it leads to. */
export function NoSignalPage(): JSX.Element {
  return (
    <Layout title={say.page.noSignal} width="narrow">
      <h1>{say.page.noSignal}</h1>
      <p class="lead">{say.page.notKeptHere}</p>
      <p class="actions">
        <a class="button" href="/jobs">
          {say.page.theJobsOnThisPhone}
        </a>{' '}
        <a class="button" href="/waiting">
          {say.page.whatWaitsHere}
        </a>
      </p>
    </Layout>
  )
}
