// When did this member sign in, what work of theirs is open, and how do they leave?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { SignInRow } from '../../server/store/queries/sign-ins.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts } from '../parts/facts.tsx'
import {
  CheckField,
  type FormState,
  type Option,
  OtherErrors,
  SelectField,
  TextField,
} from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { When } from '../parts/when.tsx'
import { browserWords, SignIns } from './sign-ins.tsx'

export interface MemberProps {
  shell: Shell
  id: string
  name: string
  email: string
  roleWords: string
  active: boolean
  createdAt: number
  /** Whether they have a second step. */
  secondStep: boolean
  you: boolean
  sessions: readonly { id: string; browser: string | null; createdAt: number }[]
  signIns: readonly SignInRow[]
  openJobs: readonly { id: string; label: string }[]
  /** Who could have their jobs. */
  crew: readonly Option[]
  form?: FormState | undefined
  refused?: string | undefined
}

export function MemberPage(props: MemberProps): JSX.Element {
  return (
    <Layout
      {...props.shell}
      title={props.name}
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <p>
        <a href="/members">{say.signing.people}</a>
      </p>
      <h1>{props.name}</h1>
      <Facts
        facts={[
          { label: say.people.eMailAddress, value: props.email },
          { label: say.people.role, value: props.roleWords },
          { label: say.people.since, value: <When at={props.createdAt} show="day" /> },
        ]}
      />
      {props.active ? <Leaving {...props} /> : <p class="lead">{say.signing.isShutOut}</p>}
      <section>
        <h2>{say.signing.whereTheyAreSignedIn}</h2>
        {props.sessions.length === 0 ? (
          <p>{say.signing.noSession}</p>
        ) : (
          <>
            <ul>
              {props.sessions.map((one) => (
                <li key={one.id}>
                  {browserWords(one.browser)}, <When at={one.createdAt} />
                </li>
              ))}
            </ul>
            <form method="post" action={`/members/${props.id}/sign-out`}>
              <Button kind="refuse">{say.signing.signOutOfThisCompany}</Button>
            </form>
            <p class="soft">{say.signing.theyMaySignIn}</p>
          </>
        )}
      </section>
      <section>
        <h2>{say.secondStep.secondStep}</h2>
        <p>{props.secondStep ? say.secondStep.theyHaveOne : say.secondStep.theyHaveNone}</p>
        {props.secondStep && !props.you ? (
          <form method="post" action={`/members/${props.id}/reset-second-step`}>
            <Button kind="refuse">{say.secondStep.takeTheirsAway}</Button>
            <p class="hint">{say.secondStep.whenTheyLostIt}</p>
          </form>
        ) : null}
      </section>
      <section>
        <h2>{say.signing.whenTheySignedIn}</h2>
        <SignIns items={props.signIns} />
      </section>
    </Layout>
  )
}

function Leaving(props: MemberProps): JSX.Element {
  const { form, openJobs } = props
  return (
    <section>
      <h2>{say.signing.letThemGo}</h2>
      <p>{say.signing.endsAtOnce}</p>
      <form method="post" action={`/members/${props.id}/leave`} class="sheet">
        <OtherErrors
          form={form}
          fields={['to', 'note', 'keepsWorking?', ...openJobs.map((job) => `jobs.${job.id}`)]}
        />
        {openJobs.length === 0 ? (
          <p>{say.signing.noOpenWork}</p>
        ) : (
          <>
            <h3>{say.signing.openWork}</h3>
            <p class="hint">{say.signing.everyOpenJob}</p>
            <SelectField
              name="to"
              label={say.signing.forAll}
              options={[{ value: '', label: say.signing.chooseSomebody }, ...props.crew]}
              form={form}
            />
            {openJobs.map((job) => (
              <SelectField
                key={job.id}
                name={`jobs.${job.id}`}
                label={job.label}
                options={[{ value: '', label: say.signing.asForAll }, ...props.crew]}
                form={form}
              />
            ))}
            <TextField name="note" label={say.signing.noteForThem} maxlength={2000} form={form} />
          </>
        )}
        <CheckField
          name="keepsWorking?"
          label={say.signing.stillWorksHere}
          hint={say.signing.stillWorksHint}
          form={form}
        />
        <Button kind="refuse">
          {openJobs.length === 0 ? say.signing.letThemGo : say.signing.handOverAndLetGo}
        </Button>
      </form>
    </section>
  )
}
