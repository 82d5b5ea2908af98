// What was not met on the company's jobs, and what became of each?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import {
  NONCONFORMITY_DISPOSITIONS,
  type NonconformityDisposition,
  type RequirementCode,
} from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { type Option, SelectField, TextField } from '../parts/field.tsx'
import { OutcomeMark } from '../parts/mark.tsx'
import { Pager } from '../parts/pager.tsx'
import { When } from '../parts/when.tsx'

export interface NonconformityLine {
  id: string
  requirement: RequirementCode
  title: string
  subject: string
  outcome: 'failed' | 'open'
  reason: string
  foundAt: number
  foundBy: string
  job: { id: string; reference: string | null }
  site: { customerName: string; address: string }
  disposal: { disposition: NonconformityDisposition; at: number; by: string } | null
  concession: { reason: string; conditions: string | null; by: string } | null
}

export interface NonconformityListProps {
  shell: Shell
  query: Record<'state' | 'requirement' | 'by' | 'job' | 'q' | 'from' | 'to', string>
  /** Of what is asked for. */
  counts: { total: number; open: number }
  /** Whatever is asked for. */
  openInAll: number
  /** How many requests for a concession wait. */
  requests: number
  requirements: readonly Option[]
  members: readonly Option[]
  rows: readonly NonconformityLine[]
  cursor: string | null
  nextCursor: string | null
}

export function NonconformityList(props: NonconformityListProps): JSX.Element {
  const { query, counts, rows } = props
  const given = Object.entries(query).filter(([, value]) => value !== '')
  const search = new URLSearchParams(given).toString()
  const address = (cursor: string | null) => {
    const asked = [search, cursor === null ? '' : `cursor=${cursor}`].filter(Boolean).join('&')
    return asked === '' ? '/nonconformities' : `/nonconformities?${asked}`
  }
  const isFiltered = given.some(([name]) => name !== 'state')
  return (
    <Layout {...props.shell} title={say.nonconformities.nonconformities}>
      <h1>{say.nonconformities.nonconformities}</h1>
      <p class="lead">{say.nonconformities.lead}</p>
      <RegisterTabs
        here={isFiltered ? null : query.state === 'open' ? 'open' : query.state === '' ? 'all' : null}
        open={props.openInAll}
        requests={props.requests}
      />
      <Filters {...props} isOpen={given.length > 0 && !(given.length === 1 && query.state === 'open')} />
      {rows.length === 0 ? (
        <Empty
          title={
            isFiltered
              ? say.nonconformities.noneFits
              : query.state === ''
                ? say.nonconformities.noneAtAll
                : query.state === 'open'
                  ? say.nonconformities.noneOpen
                  : say.nonconformities.noneFits
          }
        >
          {isFiltered ? say.nonconformities.takeAFilterAway : say.nonconformities.comesHere}
        </Empty>
      ) : (
        <>
          <p class="soft">{say.nonconformities.countOf(counts.total, counts.open)}</p>
          <table class="stack">
            <thead>
              <tr>
                <th scope="col">{say.nonconformities.what}</th>
                <th scope="col">{say.nonconformities.where}</th>
                <th scope="col">{say.nonconformities.found}</th>
                <th scope="col">{say.nonconformities.became}</th>
              </tr>
            </thead>
            <tbody>
              {rows.map((row) => (
                <Row key={row.id} row={row} />
              ))}
            </tbody>
          </table>
        </>
      )}
      <Pager
        of={say.nonconformities.more}
        firstHref={props.cursor === null ? undefined : address(null)}
        nextHref={props.nextCursor === null ? undefined : address(props.nextCursor)}
      />
      <p>
        <a href="/exports/nonconformities.csv" hx-boost="false" download>
          {say.nonconformities.asCsv}
        </a>
      </p>
    </Layout>
  )
}

/** The same over the register, the trend and the requests. */
export function RegisterTabs(props: {
  here: 'open' | 'all' | 'trend' | 'requests' | null
  open: number
  requests: number
}): JSX.Element {
  const tabs = [
    { key: 'open', href: '/nonconformities?state=open', label: say.nonconformities.openCount(props.open) },
    { key: 'all', href: '/nonconformities', label: say.nonconformities.all },
    { key: 'trend', href: '/nonconformities/trend', label: say.nonconformities.trend },
    {
      key: 'requests',
      href: '/concession-requests',
      label: say.concessions.requestsCount(props.requests),
    },
  ]
  return (
    <nav aria-label={say.nonconformities.byState}>
      <ul class="tabs">
        {tabs.map(({ key, href, label }) => (
          <li key={key}>
            <a href={href} aria-current={props.here === key ? 'page' : undefined}>
              {label}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  )
}

function Row({ row }: { row: NonconformityLine }): JSX.Element {
  return (
    <tr>
      <td>
        <span class="outcome-words">
          <OutcomeMark outcome={row.outcome} />
          {row.outcome === 'failed' ? say.nonconformities.whyItWasFailed : say.nonconformities.whyItWasOpen}
        </span>
        <a href={`/nonconformities/${row.id}`}>
          <b>{row.title}</b>
        </a>
        <br />
        {row.subject}
        <br />
        <span class="soft">{row.reason}</span>
      </td>
      <td data-label={say.nonconformities.where}>
        <a href={`/jobs/${row.job.id}`}>{row.job.reference ?? say.nonconformities.aJobWithoutReference}</a>
        <br />
        {row.site.customerName}, {row.site.address}
      </td>
      <td data-label={say.nonconformities.found}>
        <When at={row.foundAt} show="day" />
        <br />
        <span class="soft">{row.foundBy}</span>
      </td>
      <td data-label={say.nonconformities.became}>
        {row.disposal === null ? (
          <b>{say.nonconformities.open}</b>
        ) : (
          <>
            <b>{say.nonconformities.dispositions[row.disposal.disposition]}</b>
            <br />
            <span class="soft">
              {say.nonconformities.disposedOn(<When at={row.disposal.at} show="day" />, row.disposal.by)}
            </span>
            {row.concession === null ? null : <p class="why">{row.concession.reason}</p>}
          </>
        )}
      </td>
    </tr>
  )
}

function Filters(props: NonconformityListProps & { isOpen: boolean }): JSX.Element {
  const { query } = props
  return (
    <details open={props.isOpen}>
      <summary>{say.nonconformities.filter}</summary>
      <form method="get" action="/nonconformities" class="audit-filters">
        <SelectField
          name="state"
          label={say.nonconformities.howItStands}
          value={query.state}
          options={[
            { value: '', label: say.nonconformities.anyState },
            { value: 'open', label: say.nonconformities.open },
            { value: 'closed', label: say.nonconformities.closed },
            ...NONCONFORMITY_DISPOSITIONS.map((value) => ({
              value,
              label: say.nonconformities.dispositions[value],
            })),
          ]}
        />
        <SelectField
          name="requirement"
          label={say.nonconformities.requirement}
          value={query.requirement}
          options={[{ value: '', label: say.nonconformities.anyRequirement }, ...props.requirements]}
        />
        <SelectField
          name="by"
          label={say.nonconformities.recordedBy}
          value={query.by}
          options={[{ value: '', label: say.nonconformities.anybody }, ...props.members]}
        />
        <TextField name="q" label={say.nonconformities.text} value={query.q} />
        <TextField name="from" label={say.nonconformities.from} value={query.from} type="date" />
        <TextField name="to" label={say.nonconformities.to} value={query.to} type="date" />
        {query.job === '' ? null : <input type="hidden" name="job" value={query.job} />}
        <Button kind="other">{say.nonconformities.show}</Button>
      </form>
    </details>
  )
}
