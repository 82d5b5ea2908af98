// How does this job stand: as piped, what is done, what holds it, and what is there to do?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { JobEvent } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { type ThreadProps, Threads } from '../audit/threads.tsx'
import { AskedConcessions, type AskedLine } from '../concessions/index.tsx'
import { Corrections, type CorrectionsProps } from '../corrections/of-job.tsx'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'
import { type FormState, OtherErrors } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { type FindingOutcome, OutcomeMark } from '../parts/mark.tsx'
import { Photos, type PhotosProps } from '../parts/photos.tsx'
import { PipeStrip, type PipeStripProps } from '../parts/pipe-strip.tsx'
import { Stage } from '../parts/stage.tsx'
import { TagField } from '../parts/tag-field.tsx'
import { When } from '../parts/when.tsx'
import { FollowUps, type FollowUpsProps } from './follow-ups.tsx'
import { InHand, type InHandProps } from './in-hand.tsx'
import { jobLead, type ListedJobProps } from './index.tsx'
import { Release, type ReleaseProps } from './release.tsx'
import { theEventWords } from './words.ts'

/** One line of the work on a system: what it is, how it stands, where it is recorded. */
export interface WorkLine {
  id: string
  title: string
  outcome: FindingOutcome
  words: string
  links: { href: string; label: string }[]
}

export interface JobPageProps {
  shell: Shell
  job: ListedJobProps & { siteId: string; callbackId: string | null }
  systems: readonly {
    id: string
    name: string
    refrigerant: string
    strip: PipeStripProps | null
    work: readonly WorkLine[]
    photos: PhotosProps
    mayAddLineSet: boolean
  }[]
  /** How many hold points are not met. */
  held: number
  events: readonly {
    event: JobEvent
    at: number
    who: string
    reason: string | null
    to: string | null
    /** What it was sent back with. */
    about: readonly { label: string; href: string | null }[]
  }[]
  inHand: InHandProps
  corrections: CorrectionsProps['corrections']
  /** What the manager asked about it. */
  questions: readonly ThreadProps[]
  mayAudit: boolean
  certificates: readonly { id: string; revision: number; issuedAt: number }[]
  followUps: FollowUpsProps['followUps']
  mayAddSystem: boolean
  mayRecord: boolean
  askedConcessions: readonly AskedLine[]
  release: ReleaseProps
  form?: FormState | undefined
  note: string | null
}

export function JobPage(props: JobPageProps): JSX.Element {
  const { job } = props
  const after = lastTurn(props.events)
  return (
    <Layout {...props.shell} title={job.address}>
      <h1>{job.address}</h1>
      <p class="lead">{jobLead(job)}</p>
      <Stage stage={job.stage} after={after} />
      {props.mayAudit ? (
        <p class="actions">
          <a class="button other" href={`/jobs/${job.id}/audit`}>
            {say.jobs.readItForAudit}
          </a>
        </p>
      ) : null}
      {after && job.stage === 'open' ? (
        <Flash kind="needs-you" lead={after === 'sent-back' ? say.jobs.sentBack2 : say.jobs.reopened2}>
          {turnsOf(props.events).at(-1)?.reason}
          <About about={turnsOf(props.events).at(-1)?.about ?? []} />
        </Flash>
      ) : null}
      {props.inHand.isMine && props.events.at(-1)?.event === 'handed-over' && job.stage === 'open' ? (
        <Flash kind="done" lead={say.jobs.handedThisJobTo(props.events.at(-1)?.who)}>
          {props.events.at(-1)?.reason}
        </Flash>
      ) : null}
      {props.note === null ? null : (
        <Flash kind="refused" lead={say.jobs.refused}>
          {props.note}
        </Flash>
      )}
      <OtherErrors form={props.form} fields={[]} />
      {job.callbackId === null ? null : (
        <p>{say.jobs.forWord2(<a href={`/callbacks/${job.callbackId}`}>{say.jobs.aCallback}</a>)}</p>
      )}
      {props.certificates.map((certificate) => (
        <p key={certificate.id}>
          {say.jobs.issued(
            <a href={`/certificates/${certificate.id}`}>
              {say.jobs.certificateRevision(certificate.revision)}
            </a>,
            <When at={certificate.issuedAt} />,
          )}
        </p>
      ))}
      <FollowUps jobId={job.id} followUps={props.followUps} />
      <Threads
        threads={props.questions.filter(({ state }) => state !== 'settled')}
        title={say.jobs.questionsFromTheAudit}
        id="questions"
      />
      {props.systems.length === 0 ? null : <TagField jobId={job.id} />}
      <div class="two">
        <div>
          {props.systems.length === 0 ? (
            <Empty
              title={say.jobs.noSystemOnThis}
              action={
                props.mayAddSystem
                  ? { href: `/jobs/${job.id}/systems/new`, label: say.jobs.addASystem }
                  : undefined
              }
            >
              {say.jobs.aSystemIsOne}
            </Empty>
          ) : null}
          {props.systems.map((system) => (
            <section class="sheet" key={system.id} id={`system-${system.id}`}>
              <h2>
                <a href={`/systems/${system.id}`}>{system.name}</a>{' '}
                <span class="soft">{system.refrigerant}</span>
              </h2>
              {system.strip === null ? <p>{say.jobs.noLineSetYet}</p> : <PipeStrip {...system.strip} />}
              {system.mayAddLineSet ? (
                <p class="actions">
                  <a class="button other" href={`/systems/${system.id}/line-sets/new?job=${job.id}`}>
                    {say.jobs.addALineSet}
                  </a>
                </p>
              ) : null}
              <WorkList lines={system.work} />
            </section>
          ))}
          {props.systems.map((system) => (
            <Photos key={system.id} {...system.photos} />
          ))}
          {props.mayAddSystem && props.systems.length > 0 ? (
            <p>
              <a href={`/jobs/${job.id}/systems/new`}>{say.jobs.addAnotherSystem}</a>
            </p>
          ) : null}
        </div>
        <div>
          <Release {...props.release} />
          <AskedConcessions asked={props.askedConcessions} />
          <InHand {...props.inHand} />
          <Corrections corrections={props.corrections} form={props.form} />
          <Threads
            threads={props.questions.filter(({ state }) => state === 'settled')}
            title={say.jobs.questionsThatAreSettled}
          />
          <section class="sheet">
            <h2>{say.jobs.whatHappened}</h2>
            <ol class="events">
              {props.events.map((event) => (
                <li key={`${event.event} ${event.at}`}>
                  {say.jobs.by(
                    theEventWords()[event.event],
                    event.to === null ? '' : say.jobs.to2(event.to),
                    event.who,
                    <When at={event.at} />,
                    event.reason === null ? null : <span class="soft"> “{event.reason}”</span>,
                  )}
                </li>
              ))}
            </ol>
            <p>
              <a href={`/sites/${job.siteId}`}>{say.jobs.theSiteAndIts}</a>
            </p>
          </section>
        </div>
      </div>
    </Layout>
  )
}

function About({ about }: Pick<JobPageProps['events'][number], 'about'>): JSX.Element | null {
  if (about.length === 0) return null
  return (
    <span>
      {' '}
      {say.jobs.about(
        about.map((one, index) => (
          <span key={one.label}>
            {index === 0 ? '' : ', '}
            {one.href === null ? one.label : <a href={one.href}>{one.label}</a>}
          </span>
        )),
      )}
    </span>
  )
}

/** Without what moved no stage. */
const turnsOf = (events: JobPageProps['events']) => events.filter(({ event }) => event !== 'handed-over')

function lastTurn(events: JobPageProps['events']): 'sent-back' | 'reopened' | undefined {
  const last = turnsOf(events).at(-1)?.event
  return last === 'sent-back' || last === 'reopened' ? last : undefined
}

function WorkList({ lines }: { lines: readonly WorkLine[] }): JSX.Element {
  return (
    <ul class="work">
      {lines.map((line) => (
        <li key={line.id}>
          <OutcomeMark outcome={line.outcome} />
          <span>
            <b>{line.title}</b>: {line.words}
          </span>
          <span class="work-links">
            {line.links.map((one) => (
              <a key={one.href} href={one.href}>
                {one.label}
              </a>
            ))}
          </span>
        </li>
      ))}
    </ul>
  )
}
