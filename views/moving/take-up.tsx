// How does a server that holds no company yet take one up?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { FileField, type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'

export interface Arrival {
  id: string
  state: 'looking' | 'taking' | 'done' | 'failed'
  done: number
  total: number
  /** Of the company, once it is known. */
  name: string | null
  /** Why it failed, in words. */
  why: string | null
}

export interface TakeUpPageProps {
  /** No company is here, and one may come; or why not. */
  standing: 'open' | 'closed' | 'not-empty'
  arrival: Arrival | null
  form?: FormState | undefined
  refused?: string | undefined
}

const AT = '/import-company'

export function TakeUpPage(props: TakeUpPageProps): JSX.Element {
  const { standing, arrival, form } = props
  return (
    <Layout
      title={say.moving.takeUpACompany}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>{say.moving.takeUpACompany}</h1>
      {arrival ? (
        <div id="arrival">
          <HowFar arrival={arrival} />
        </div>
      ) : standing === 'open' ? (
        <>
          <p class="lead">{say.moving.takeUpWhy}</p>
          {/* The browser itself sends it: a boosted form would leave the file behind. */}
          <form method="post" action={AT} encType="multipart/form-data" hx-boost="false" class="sheet">
            <OtherErrors form={form} fields={['email', 'password', 'archive']} />
            <TextField
              name="email"
              label={say.moving.ownersEmail}
              hint={say.moving.ownersEmailHint}
              type="email"
              inputmode="email"
              autocomplete="username"
              required
              form={form}
            />
            <TextField
              name="password"
              label={say.moving.newPassword}
              hint={say.people.atLeast12Characters}
              type="password"
              autocomplete="new-password"
              required
              form={form}
            />
            <FileField
              name="archive"
              label={say.moving.archiveFile}
              hint={say.moving.archiveFileHint}
              accept=".tar,application/x-tar"
              form={form}
              required
            />
            <Button>{say.moving.takeItUp}</Button>
            <p class="hint">{say.moving.keysComeAlong}</p>
          </form>
        </>
      ) : (
        <p class="lead">{standing === 'closed' ? say.people.noNewCompaniesAre : say.moving.notEmpty}</p>
      )}
      <p>
        <a href="/sign-in">{say.people.signIn}</a>
      </p>
    </Layout>
  )
}

function HowFar({ arrival }: { arrival: Arrival }): JSX.Element {
  if (arrival.state === 'failed')
    return (
      <>
        <Flash kind="refused" lead={say.moving.nothingTaken}>
          {arrival.why ?? say.moving.takingFailed}
        </Flash>
        <p>
          <a class="button" href={AT}>
            {say.moving.tryAgain}
          </a>
        </p>
      </>
    )
  if (arrival.state === 'done')
    return (
      <Flash kind="done" lead={say.moving.takenUp}>
        {say.moving.signInNow(arrival.name ?? '')}
      </Flash>
    )
  const share = arrival.total === 0 ? 0 : Math.floor((100 * arrival.done) / arrival.total)
  const at = `${AT}?arrival=${arrival.id}`
  return (
    <section
      class="sheet"
      hx-get={at}
      hx-trigger="every 1s"
      hx-select="#arrival"
      hx-target="#arrival"
      hx-swap="outerHTML"
      aria-labelledby="how-far"
    >
      <h2 id="how-far">{arrival.state === 'looking' ? say.moving.isLookedThrough : say.moving.isTakenUp}</h2>
      <p role="status">{say.moving.soFar(share)}</p>
      <progress class="moving-progress" max={100} value={share} aria-labelledby="how-far" />
      <p>
        <a href={at}>{say.moving.lookAgain}</a>
      </p>
    </section>
  )
}
