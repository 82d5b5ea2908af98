// Who are you here, and what is yours to set?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Facts } from '../parts/facts.tsx'
import { type CompanyChoice, CompanyChoices } from './choose-company.tsx'

export interface YouProps {
  shell: Shell
  name: string
  email: string
  role: string
  company: string
  others: readonly CompanyChoice[]
  mayReadPolicy: boolean
}

export function YouPage(props: YouProps): JSX.Element {
  return (
    <Layout {...props.shell} title={say.people.you} width="narrow">
      <h1>{say.people.you}</h1>
      <Facts
        facts={[
          { label: say.people.name, value: props.name },
          { label: say.people.eMailAddress, value: props.email },
          { label: say.people.company, value: props.company },
          { label: say.people.role, value: props.role },
        ]}
      />
      {props.others.length === 0 ? null : (
        <section>
          <h2>{say.people.workInAnotherCompany}</h2>
          <CompanyChoices action="/session/company" companies={props.others} current={null} />
        </section>
      )}
      <h2>{say.people.yoursToSet}</h2>
      <p class="actions">
        <a class="button" href="/me/signing-in">
          {say.signing.howYouSignIn}
        </a>
        <a class="button" href="/me/second-step">
          {say.secondStep.secondStep}
        </a>
        <a class="button" href="/tokens">
          {say.people.tokensForPrograms}
        </a>
        {props.mayReadPolicy ? (
          <a class="button" href="/policy">
            {say.people.criteriaOfTheCompany}
          </a>
        ) : null}
        <a class="button" href="/sign-out">
          {say.people.signOut}
        </a>
      </p>
    </Layout>
  )
}
