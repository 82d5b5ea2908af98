// Who are you here, and what is yours to set?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
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
    <Layout {...props.shell} title="You" width="narrow">
      <h1>You</h1>
      <Facts
        facts={[
          { label: 'Name', value: props.name },
          { label: 'E-mail address', value: props.email },
          { label: 'Company', value: props.company },
          { label: 'Role', value: props.role },
        ]}
      />
      {props.others.length === 0 ? null : (
        <section>
          <h2>Work in another company</h2>
          <CompanyChoices action="/session/company" companies={props.others} current={null} />
        </section>
      )}
      <h2>Yours to set</h2>
      <p class="actions">
        <a class="button" href="/tokens">
          Tokens for programs
        </a>
        {props.mayReadPolicy ? (
          <a class="button" href="/policy">
            Criteria of the company
          </a>
        ) : null}
        <a class="button" href="/sign-out">
          Sign out
        </a>
      </p>
    </Layout>
  )
}
