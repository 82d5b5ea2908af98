// What does one of the papers say?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { Layout } from '../layout.tsx'

export function PaperPage(props: {
  shell: Partial<Shell>
  title: string
  /** Set from the paper's own text; marks of HTML in it are already text. */
  html: string
  back: { href: string; label: string }
}): JSX.Element {
  return (
    <Layout {...props.shell} title={props.title} width="narrow">
      <h1>{props.title}</h1>
      {/* Our own papers, in which marks of HTML have been turned into text. */}
      <div class="paper" lang="en" dangerouslySetInnerHTML={{ __html: props.html }} />
      <p>
        <a href={props.back.href}>{props.back.label}</a>
      </p>
    </Layout>
  )
}

export function PapersPage(props: {
  shell: Partial<Shell>
  title: string
  lead: string
  papers: readonly { href: string; title: string }[]
}): JSX.Element {
  return (
    <Layout {...props.shell} title={props.title} width="narrow">
      <h1>{props.title}</h1>
      <p class="lead">{props.lead}</p>
      <ul class="link-list">
        {props.papers.map((paper) => (
          <li key={paper.href}>
            <a href={paper.href}>{paper.title}</a>
          </li>
        ))}
      </ul>
    </Layout>
  )
}
