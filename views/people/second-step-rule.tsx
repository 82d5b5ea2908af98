// Of whom does this company want a second step, and who has none yet?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { ChoiceField, type FormState, OtherErrors } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'

export interface SecondStepRuleProps {
  shell: Shell
  rule: 'nobody' | 'managers' | 'everybody'
  without: readonly { id: string; name: string; roleWords: string }[]
  form?: FormState | undefined
  refused?: string | undefined
}

export function SecondStepRulePage(props: SecondStepRuleProps): JSX.Element {
  const { shell, rule, without, form, refused } = props
  return (
    <Layout
      {...shell}
      title={say.secondStep.secondStep}
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>
        <a href="/members">{say.people.people}</a>
      </p>
      <h1>{say.secondStep.secondStep}</h1>
      <p class="lead">{say.secondStep.theRule}</p>
      <form method="post" action="/company/second-step" class="sheet">
        <OtherErrors form={form} fields={['of']} />
        <ChoiceField
          name="of"
          label={say.secondStep.ofWhom}
          options={[
            { value: 'nobody', label: say.secondStep.ofNobody },
            { value: 'managers', label: say.secondStep.ofManagers },
            { value: 'everybody', label: say.secondStep.ofEverybody },
          ]}
          value={rule}
          required
          form={form}
        />
        <Button>{say.secondStep.setThis}</Button>
      </form>
      <section>
        <h2>{say.secondStep.whoHasNone}</h2>
        {without.length === 0 ? (
          <p>{say.secondStep.allHaveOne}</p>
        ) : (
          <ul>
            {without.map(({ id, name, roleWords }) => (
              <li key={id}>
                <a href={`/members/${id}`}>{name}</a>, {roleWords}
              </li>
            ))}
          </ul>
        )}
      </section>
    </Layout>
  )
}
