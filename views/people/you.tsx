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
      <h2>More</h2>
      <ul>
        <li>
          <a href="/tokens">Tokens</a> for programs that act in your name
        </li>
        {props.mayReadPolicy ? (
          <li>
            <a href="/policy">Criteria</a> that the company judges by
          </li>
        ) : null}
        <li>
          <a href="/sign-out">Sign out</a>
        </li>
      </ul>
    </Layout>
  )
}
