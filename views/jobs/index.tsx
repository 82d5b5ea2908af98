// Which jobs are open, waiting for audit, or sealed?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { JobKind, JobStage } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'
import { Stage } from '../parts/stage.tsx'
import { TagField } from '../parts/tag-field.tsx'
import { When } from '../parts/when.tsx'

export interface ListedJobProps {
  id: string
  kind: JobKind
  reference: string | null
  stage: JobStage
  stageAt: number
  address: string
  customerName: string
  assignedName: string | null
  after: 'sent-back' | 'reopened' | null
}

export interface JobsPageProps {
  shell: Shell
  jobs: readonly ListedJobProps[]
  stage: JobStage | null
  counts: Record<JobStage, number>
  nextCursor: string | null
  isFirst: boolean
  mayOpen: boolean
}

const FILTERS: { stage: JobStage | null; label: string }[] = [
  { stage: null, label: 'All' },
  { stage: 'open', label: 'Open' },
  { stage: 'submitted', label: 'Waiting for audit' },
  { stage: 'sealed', label: 'Sealed' },
]

export function JobsPage(props: JobsPageProps): JSX.Element {
  const query = props.stage ? `stage=${props.stage}&` : ''
  return (
    <Layout {...props.shell} title="Jobs">
      <h1>Jobs</h1>
      {props.mayOpen ? (
        <p class="actions">
          <a class="button" href="/jobs/new">
            Open a job
          </a>
        </p>
      ) : null}
      <TagField />
      <nav aria-label="Jobs by stage">
        <ul class="tabs">
          {FILTERS.map(({ stage, label }) => (
            <li key={label}>
              <a
                href={stage ? `/jobs?stage=${stage}` : '/jobs'}
                aria-current={props.stage === stage ? 'page' : undefined}
              >
                {label}
                {stage ? ` (${props.counts[stage]})` : ''}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      {props.jobs.length === 0 ? (
        <Empty title={props.stage ? 'No jobs in this stage' : 'No jobs yet'}>
          A job is one visit's scope of work on one or more systems of a site.
        </Empty>
      ) : (
        <ul class="rows">
          {props.jobs.map((job) => (
            <li key={job.id}>
              <a class="row" href={`/jobs/${job.id}`}>
                <b>{job.address}</b>
                <span>{jobLead(job)}</span>
              </a>
              <Stage stage={job.stage} after={job.after ?? undefined} />{' '}
              <span class="soft">
                since <When at={job.stageAt} />
              </span>
            </li>
          ))}
        </ul>
      )}
      {props.nextCursor === null && props.isFirst ? null : (
        <p class="pager">
          {props.isFirst ? null : <a href={props.stage ? `/jobs?stage=${props.stage}` : '/jobs'}>Newest</a>}
          {props.nextCursor === null ? null : <a href={`/jobs?${query}cursor=${props.nextCursor}`}>Older</a>}
        </p>
      )}
    </Layout>
  )
}

/** "Installation · J-104 · Ines" */
export const jobLead = (job: Pick<ListedJobProps, 'kind' | 'reference' | 'customerName' | 'assignedName'>) =>
  [capital(job.kind), job.reference, job.customerName, job.assignedName].filter(Boolean).join(' · ')

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)
