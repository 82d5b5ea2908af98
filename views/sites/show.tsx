// What stands at this site, and what was done there?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { formatQuantity } from '../../server/trade/units.ts'
import type { JobKind, JobStage } from '../../server/vocabulary.ts'
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
    ? { href: `/jobs/new?site=${site.id}`, label: 'Open a job here' }
    : undefined
  return (
    <Layout {...props.shell} title={site.customerName}>
      <h1>{site.customerName}</h1>
      <p class="lead">{site.address}</p>
      <Facts
        facts={[
          {
            label: 'Town on certificates',
            value: site.town === '' ? <span class="soft">none given</span> : site.town,
          },
          { label: 'Contact', value: site.contact ?? <span class="soft">none given</span> },
          {
            label: 'Height above sea level',
            value:
              site.elevationM === null ? (
                <span class="soft">not given, sea level is taken</span>
              ) : (
                formatQuantity(Math.round(site.elevationM), 'm').replace('.00', '')
              ),
          },
        ]}
      />
      {props.mayChange ? (
        <p>
          <a href={`/sites/${site.id}/edit`}>Change this site</a>
        </p>
      ) : null}

      <section class="sheet" aria-labelledby="systems">
        <h2 id="systems">Systems</h2>
        {props.systems.length === 0 ? (
          <Empty title="No system yet">
            A system is added from the job that installs or first serves it.
          </Empty>
        ) : (
          <table class="stack">
            <thead>
              <tr>
                <th scope="col">System</th>
                <th scope="col">Tags begin with</th>
                <th scope="col">Refrigerant</th>
              </tr>
            </thead>
            <tbody>
              {props.systems.map((system) => (
                <tr key={system.id}>
                  <td>
                    <a href={`/systems/${system.id}`}>{system.name}</a>
                  </td>
                  <td data-label="Tags begin with">{system.tagPrefix}</td>
                  <td data-label="Refrigerant">{system.refrigerant}</td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
      </section>

      <section class="sheet" aria-labelledby="jobs">
        <h2 id="jobs">Jobs</h2>
        {props.jobs.length === 0 ? (
          <Empty title="No job here yet" action={openJob} />
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
          <th scope="col">Job</th>
          <th scope="col">Opened</th>
          <th scope="col">Stage</th>
        </tr>
      </thead>
      <tbody>
        {props.jobs.map((job) => (
          <tr key={job.id}>
            <td>
              <a href={`/jobs/${job.id}`}>
                {job.kind.charAt(0).toUpperCase() + job.kind.slice(1)}
                {job.reference === null ? '' : `, ${job.reference}`}
              </a>
            </td>
            <td data-label="Opened">
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
