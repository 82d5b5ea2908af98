// What does somebody see who can't have or do this, and where can they go from here?

import type { JSX } from 'preact'
import type { Shell } from '../server/http/shell.ts'
import type { Finding } from '../server/rules/finding.ts'
import { say } from '../server/words/say.ts'
import { Layout } from './layout.tsx'

export interface RefusedProps {
  shell: Shell
  title: string
  detail: string
  errors: readonly { path: string; message: string }[]
  findings: readonly Finding[]
}

export function RefusedPage({ shell, title, detail, errors, findings }: RefusedProps): JSX.Element {
  return (
    <Layout {...shell} title={title}>
      <h1>{title}</h1>
      <p class="lead">{detail}</p>
      {errors.length === 0 ? null : (
        <ul>
          {errors.map((error) => (
            <li key={error.path}>
              {error.path === '' ? '' : `${error.path}: `}
              {error.message}
            </li>
          ))}
        </ul>
      )}
      {findings.length === 0 ? null : (
        <ul>
          {findings.map((finding) => (
            <li key={`${finding.requirement} ${finding.subject.id}`}>
              {finding.title} ({finding.subject.name}): {finding.nextAction ?? finding.reason}
            </li>
          ))}
        </ul>
      )}
      <p>
        <a href="/">{say.page.backToTheJobs}</a>
      </p>
    </Layout>
  )
}
