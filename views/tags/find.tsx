// Which joint is meant by this tag, and on which job?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Tag } from '../parts/tag.tsx'
import { TagField } from '../parts/tag-field.tsx'
import { When } from '../parts/when.tsx'

export interface TagChoice {
  href: string
  tag: string
  words: string
  /** Of the job. */
  openedAt?: number | undefined
}

export interface FindTagPageProps {
  shell: Shell
  typed: string
  jobId: string | undefined
  choices: readonly TagChoice[]
}

export function FindTagPage({ shell, typed, jobId, choices }: FindTagPageProps): JSX.Element {
  const nothing = typed.trim() !== '' && choices.length === 0
  return (
    <Layout {...shell} title={say.tags.openAJoint} width="narrow">
      <h1>{say.tags.openAJointBy}</h1>
      <p class="why">{say.tags.lettersDigitsAndThe}</p>
      <TagField jobId={jobId} typed={typed} message={nothing ? say.tags.noJointHereHas : undefined} />
      {choices.length === 0 ? null : (
        <section aria-labelledby="meant">
          <h2 id="meant">{say.tags.whichOneDoYou}</h2>
          <ul class="rows">
            {choices.map((choice) => (
              <li key={choice.href}>
                <a class="row" href={choice.href}>
                  <Tag tag={choice.tag} /> {choice.words}
                  {choice.openedAt === undefined ? null : (
                    <span>{say.tags.opened(<When at={choice.openedAt} show="day" />)}</span>
                  )}
                </a>
              </li>
            ))}
          </ul>
        </section>
      )}
    </Layout>
  )
}

/** An address may not move somebody to another company by itself: they say so. */
export function OtherCompanyPage(props: {
  shell: Shell
  tag: string
  here: string
  company: { id: string; name: string }
  action: string
}): JSX.Element {
  return (
    <Layout {...props.shell} title={say.tags.joint(props.tag)} width="narrow">
      <h1>{say.tags.joint2(<Tag tag={props.tag} />)}</h1>
      <p>{say.tags.thisTagBelongsTo(<b>{props.company.name}</b>, props.here)}</p>
      <form method="post" action={props.action}>
        <Button name="companyId" value={props.company.id}>
          {say.tags.openItIn(props.company.name)}
        </Button>
      </form>
    </Layout>
  )
}
