// What stands at this site, and what was done there?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { formatQuantity } from '../../server/trade/units.ts'
import type { JobKind, JobStage } from '../../server/vocabulary.ts'
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import { Stage } from '../parts/stage.tsx'
import { When } from '../parts/when.tsx'
import type { SiteView } from './form.tsx'

export interface JobLine {
  id: string
  kind: JobKind
  reference: string | null
  stage: JobStage
  openedAt: number
}

export interface SitePageProps {
  shell: Shell
  site: SiteView
  systems: readonly { id: string; name: string; tagPrefix: string; refrigerant: string }[]
  /** Newest first. */
  jobs: readonly JobLine[]
  mayChange: boolean
  mayOpenJob: boolean
}

export function SitePage(props: SitePageProps): JSX.Element {
  const { site } = props
  const openJob = props.mayOpenJob
    ? { href: `/jobs/new?site=${site.id}`, label: say.sites.openAJobHere }
    : undefined
  return (
    <Layout {...props.shell} title={site.customerName}>
      <h1>{site.customerName}</h1>
      <p class="lead">{site.address}</p>
      <Facts
        facts={[
          {
            label: say.sites.townOnCertificates,
            value: site.town === '' ? <span class="soft">{say.sites.noneGiven}</span> : site.town,
          },
          {
            label: say.sites.contact,
            value: site.contact ?? <span class="soft">{say.sites.noneGiven}</span>,
          },
          {
            label: say.sites.heightAboveSeaLevel,
            value:
              site.elevationM === null ? (
                <span class="soft">{say.sites.notGivenSeaLevel}</span>
              ) : (
                formatQuantity(Math.round(site.elevationM), 'm').replace('.00', '')
              ),
          },
        ]}
      />
      {props.mayChange ? (
        <p>
          <a href={`/sites/${site.id}/edit`}>{say.sites.changeThisSite}</a>
        </p>
      ) : null}

      <section class="sheet" aria-labelledby="systems">
        <h2 id="systems">{say.sites.systems}</h2>
        {props.systems.length === 0 ? (
          <Empty title={say.sites.noSystemYet}>{say.sites.aSystemIsAdded}</Empty>
        ) : (
          <table class="stack">
            <thead>
              <tr>
                <th scope="col">{say.sites.system}</th>
                <th scope="col">{say.sites.tagsBeginWith}</th>
                <th scope="col">{say.sites.refrigerant}</th>
              </tr>
            </thead>
            <tbody>
              {props.systems.map((system) => (
                <tr key={system.id}>
                  <td>
                    <a href={`/systems/${system.id}`}>{system.name}</a>
                  </td>
                  <td data-label={say.sites.tagsBeginWith}>{system.tagPrefix}</td>
                  <td data-label={say.sites.refrigerant}>{system.refrigerant}</td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
      </section>

      <section class="sheet" aria-labelledby="jobs">
        <h2 id="jobs">{say.sites.jobs}</h2>
        {props.jobs.length === 0 ? (
          <Empty title={say.sites.noJobHereYet} action={openJob} />
        ) : (
          <>
            <JobLines jobs={props.jobs} />
            {openJob === undefined ? null : (
              <p class="actions">
                <a class="button" href={openJob.href}>
                  {openJob.label}
                </a>
              </p>
            )}
          </>
        )}
      </section>
    </Layout>
  )
}

export function JobLines(props: { jobs: readonly JobLine[] }): JSX.Element {
  return (
    <table class="stack">
      <thead>
        <tr>
          <th scope="col">{say.sites.job}</th>
          <th scope="col">{say.sites.opened}</th>
          <th scope="col">{say.sites.stage}</th>
        </tr>
      </thead>
      <tbody>
        {props.jobs.map((job) => (
          <tr key={job.id}>
            <td>
              <a href={`/jobs/${job.id}`}>
                {capital(coded(job.kind))}
                {job.reference === null ? '' : `, ${job.reference}`}
              </a>
            </td>
            <td data-label={say.sites.opened}>
              <When at={job.openedAt} show="day" />
            </td>
            <td>
              <Stage stage={job.stage} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)
