// Which jobs are open, waiting for audit, or sealed?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { JobKind, JobStage } from '../../server/vocabulary.ts'
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
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
  /** Who has open jobs. */
  inHand: readonly { crewId: string; name: string; openJobs: number; isMe: boolean }[]
  /** Only the jobs of this person are listed. */
  assignedTo: string | null
  /** The reader is one of the crew, so that there may be jobs of theirs. */
  worksHere: boolean
  nextCursor: string | null
  isFirst: boolean
  mayOpen: boolean
  /** Instruments to be checked, for whoever sees to it. */
  due: { overdue: number; soon: number } | null
}

const filters = (): { stage: JobStage | null; label: string }[] => [
  { stage: null, label: say.jobs.all },
  { stage: 'open', label: say.jobs.open },
  { stage: 'submitted', label: say.jobs.waitingForAudit },
  { stage: 'sealed', label: say.jobs.sealed },
]

/** What a technician comes for. */
const YOURS = '/jobs?stage=open&assignedTo=me'

export function JobsPage(props: JobsPageProps): JSX.Element {
  const mine = props.inHand.find(({ isMe }) => isMe)
  const isMine = props.assignedTo !== null && props.assignedTo === mine?.crewId
  const query =
    (props.stage ? `stage=${props.stage}&` : '') + (props.assignedTo ? `assignedTo=${props.assignedTo}&` : '')
  const others = props.inHand.filter(({ isMe }) => !isMe)
  return (
    <Layout {...props.shell} title={say.jobs.jobs}>
      <h1>{say.jobs.jobs}</h1>
      {props.mayOpen ? (
        <p class="actions">
          <a class="button" href="/jobs/new">
            {say.jobs.openAJob}
          </a>
        </p>
      ) : null}
      <DueNotice due={props.due} />
      <TagField />
      <nav aria-label={say.jobs.jobsByStage}>
        <ul class="tabs">
          {props.worksHere ? (
            <li>
              <a href={YOURS} aria-current={isMine ? 'page' : undefined}>
                {say.jobs.yours(mine?.openJobs ?? 0)}
              </a>
            </li>
          ) : null}
          {filters().map(({ stage, label }) => (
            <li key={label}>
              <a
                href={stage ? `/jobs?stage=${stage}` : '/jobs'}
                aria-current={props.assignedTo === null && props.stage === stage ? 'page' : undefined}
              >
                {label}
                {stage ? ` (${props.counts[stage]})` : ''}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      {others.length === 0 ? null : (
        <details open={props.assignedTo !== null && !isMine ? true : undefined}>
          <summary>{say.jobs.openJobsOfSomebody}</summary>
          <ul class="tabs">
            {others.map((person) => (
              <li key={person.crewId}>
                <a
                  href={`/jobs?stage=open&assignedTo=${person.crewId}`}
                  aria-current={person.crewId === props.assignedTo ? 'page' : undefined}
                >
                  {person.name} ({person.openJobs})
                </a>
              </li>
            ))}
          </ul>
        </details>
      )}
      {props.jobs.length === 0 ? (
        <Empty
          title={
            props.assignedTo !== null
              ? say.jobs.noOpenJobs
              : props.stage
                ? say.jobs.noJobsInThis
                : say.jobs.noJobsYet
          }
        >
          {say.jobs.aJobIsOne}
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
              <span class="soft">{say.jobs.since(<When at={job.stageAt} />)}</span>
            </li>
          ))}
        </ul>
      )}
      {props.nextCursor === null && props.isFirst ? null : (
        <p class="pager">
          {props.isFirst ? null : (
            <a href={query === '' ? '/jobs' : `/jobs?${query.slice(0, -1)}`}>{say.jobs.newest}</a>
          )}
          {props.nextCursor === null ? null : (
            <a href={`/jobs?${query}cursor=${props.nextCursor}`}>{say.jobs.older}</a>
          )}
        </p>
      )}
    </Layout>
  )
}

/** "Installation · J-104 · Ines" */
export const jobLead = (job: Pick<ListedJobProps, 'kind' | 'reference' | 'customerName' | 'assignedName'>) =>
  [capital(coded(job.kind)), job.reference, job.customerName, job.assignedName].filter(Boolean).join(' · ')

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

function DueNotice({ due }: Pick<JobsPageProps, 'due'>): JSX.Element | null {
  if (due === null || due.overdue + due.soon === 0) return null
  const said = [
    ...(due.overdue > 0 ? [say.instrumentCare.instrumentsOverdue(due.overdue)] : []),
    ...(due.soon > 0 ? [say.instrumentCare.instrumentsDue(due.soon)] : []),
  ].join(', ')
  const href = `/instruments/due?within=${due.soon > 0 ? '30' : 'overdue'}`
  return (
    <p class="notice">{say.instrumentCare.notice(said, <a href={href}>{say.instrumentCare.seeWhich}</a>)}</p>
  )
}
