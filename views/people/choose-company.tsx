// In which of your companies do you work now?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { Flash } from '../parts/flash.tsx'

export interface CompanyChoice {
  id: string
  name: string
  /** In words: "service manager". */
  role: string
}

export interface ChooseCompanyProps {
  shell: Shell
  /** Where the choice is posted, with the way back. */
  action: string
  companies: readonly CompanyChoice[]
  current: string | null
  refused?: string | undefined
}

export function ChooseCompanyPage(props: ChooseCompanyProps): JSX.Element {
  const { shell, action, companies, current, refused } = props
  return (
    <Layout
      {...shell}
      title={say.people.chooseACompany}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{say.people.chooseACompany}</h1>
      {companies.length === 0 ? (
        <Empty title={say.people.youBelongToNo}>
          {say.people.askAnOwnerTo(<a href="/sign-up">{say.people.setUpACompany}</a>)}
        </Empty>
      ) : (
        <>
          <p class="lead">{say.people.youWorkInOne}</p>
          <CompanyChoices action={action} companies={companies} current={current} />
        </>
      )}
      <form method="post" action="/sign-out">
        <Button kind="other">{say.people.signOut}</Button>
      </form>
    </Layout>
  )
}

/** One button for each company; the one you are in is named without. */
export function CompanyChoices(props: {
  action: string
  companies: readonly CompanyChoice[]
  current: string | null
}): JSX.Element {
  return (
    <form method="post" action={props.action}>
      {props.companies.map((company) =>
        company.id === props.current ? (
          <p key={company.id}>{say.people.youAreHereNow(<strong>{company.name}</strong>, company.role)}</p>
        ) : (
          <p key={company.id}>
            <Button kind="other" name="companyId" value={company.id}>
              {company.name}, {company.role}
            </Button>
          </p>
        ),
      )}
    </form>
  )
}
