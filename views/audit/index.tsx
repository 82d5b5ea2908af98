// Which job should be read first, what stands out on it, and how long has it waited?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { type JobKind, SURCHARGE_CODES } from '../../server/vocabulary.ts'
import { jobLead } from '../jobs/index.tsx'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { When } from '../parts/when.tsx'
import { KeysHint } from './keys.tsx'
import { REASON_WORDS, spanWords } from './words.ts'

export interface AuditRow {
  id: string
  address: string
  customerName: string
  kind: JobKind
  reference: string | null
  assignedName: string | null
  since: number
  waitsMs: number
  risk: string
  drawn: boolean
  reasons: readonly { code: string; words: string; adds: string }[]
  notes: readonly { code: string; words: string }[]
  accepted: { who: string; at: number } | null
  freshId: string
  /** Which row comes under the reader's hand once this one is gone. */
  nextId: string | null
  /** Why it was not accepted just now. */
  refused: string | null
}

export interface AuditListProps {
  shell: Shell
  query: {
    view: 'waiting' | 'accepted' | 'sealed'
    order: 'risk' | 'waiting'
    technician: string
    standsOut: string
    days: string
    drawn: string
  }
  /** The same as it stands in the address. */
  search: string
  counts: { waiting: number; accepted: number }
  found: number
  rows: readonly AuditRow[]
  drawn: readonly { id: string; address: string }[]
  technicians: readonly { value: string; label: string }[]
  cursor: string | null
  nextCursor: string | null
}

const VIEWS: { view: AuditListProps['query']['view']; label: string }[] = [
  { view: 'waiting', label: 'Waiting' },
  { view: 'accepted', label: 'Accepted, to sign off' },
  { view: 'sealed', label: 'Signed off in the last 90 days' },
]

const NOTE_WORDS: Record<string, string> = {
  answered: 'a question answered',
  question: 'a question open',
  concession: 'a concession asked for',
  correction: 'a correction waiting',
  'sent-back': 'sent back before',
}

export function AuditListPage(props: AuditListProps): JSX.Element {
  const { query, rows } = props
  const with_ = (cursor: string | null) =>
    `/audit-list?${[props.search, cursor === null ? '' : `cursor=${cursor}`].filter(Boolean).join('&')}`
  return (
    <Layout {...props.shell} title="Audit">
      <h1>Audit</h1>
      <nav aria-label="Jobs by how far the audit is">
        <ul class="tabs">
          {VIEWS.map(({ view, label }) => (
            <li key={view}>
              <a
                href={view === 'waiting' ? '/audit-list' : `/audit-list?view=${view}`}
                aria-current={query.view === view ? 'page' : undefined}
              >
                {label}
                {view === 'sealed' || query.view === 'sealed' ? '' : ` (${props.counts[view]})`}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      <Filters {...props} />
      {props.drawn.length === 0 ? null : (
        <p class="audit-drawn">
          <b>Drawn at random, one in ten:</b>{' '}
          {props.drawn.map((job, index) => (
            <span key={job.id}>
              {index === 0 ? '' : ', '}
              <a href={auditHref(job.id, props.search)}>{job.address}</a>
            </span>
          ))}
          . A list by risk alone only finds what it looks for.
        </p>
      )}
      {rows.length === 0 ? (
        <Empty title={props.search === '' ? 'Nothing waits for audit' : 'No job fits these filters'}>
          {props.search === ''
            ? 'A job comes here when a technician submits it.'
            : 'Take a filter away, or look at another list.'}
        </Empty>
      ) : (
        <>
          <KeysHint of="list" />
          <ol class="audit-rows" data-rows start={Number(props.cursor ?? 0) + 1}>
            {rows.map((row) => (
              <Row key={row.id} row={row} search={props.search} view={query.view} />
            ))}
          </ol>
        </>
      )}
      {props.nextCursor === null && props.cursor === null ? null : (
        <p class="pager">
          {props.cursor === null ? null : <a href={with_(null)}>From the top</a>}
          {props.nextCursor === null ? null : <a href={with_(props.nextCursor)}>Further down</a>}
        </p>
      )}
      <p class="soft">
        The rank is the number of leaks to be expected in the first year, by what leaked before, with
        surcharges for what stands out in the record. It orders the list and says nothing of anybody.{' '}
        <a href="/methods/audit-list">How it is counted</a>
      </p>
    </Layout>
  )
}

export const auditHref = (jobId: string, search: string): string =>
  `/jobs/${jobId}/audit?list=${encodeURIComponent(search)}`

function Filters({ query, technicians }: AuditListProps): JSX.Element {
  const isFiltered = query.technician || query.standsOut || query.days || query.drawn
  return (
    <details open={Boolean(isFiltered)}>
      <summary>Filter and order</summary>
      <form method="get" action="/audit-list" class="audit-filters">
        {query.view === 'waiting' ? null : <input type="hidden" name="view" value={query.view} />}
        <Choice name="order" label="In the order of" value={query.order}>
          <option value="risk">risk</option>
          <option value="waiting">waiting, longest first</option>
        </Choice>
        <Choice name="technician" label="Technician" value={query.technician}>
          <option value="">anybody</option>
          {technicians.map(({ value, label }) => (
            <option key={value} value={value}>
              {label}
            </option>
          ))}
        </Choice>
        <Choice name="standsOut" label="What stands out" value={query.standsOut}>
          <option value="">anything</option>
          {Object.entries(NOTE_WORDS).map(([code, words]) => (
            <option key={code} value={code}>
              {words}
            </option>
          ))}
          {SURCHARGE_CODES.map((code) => (
            <option key={code} value={code}>
              {REASON_WORDS[code]}
            </option>
          ))}
        </Choice>
        <Choice name="days" label="Waits at least" value={query.days}>
          <option value="">any time</option>
          <option value="1">1 day</option>
          <option value="3">3 days</option>
          <option value="7">7 days</option>
          <option value="30">30 days</option>
        </Choice>
        <Choice name="drawn" label="Drawn at random" value={query.drawn}>
          <option value="">all</option>
          <option value="yes">only those</option>
        </Choice>
        <Button kind="other">Show</Button>
      </form>
    </details>
  )
}

function Choice(props: {
  name: string
  label: string
  value: string
  children: JSX.Element | (JSX.Element | JSX.Element[])[]
}): JSX.Element {
  return (
    <label class="audit-choice" for={`filter-${props.name}`}>
      <span>{props.label}</span>
      <select id={`filter-${props.name}`} name={props.name} value={props.value}>
        {props.children}
      </select>
    </label>
  )
}

function Row(props: { row: AuditRow; search: string; view: AuditListProps['query']['view'] }): JSX.Element {
  const { row, search } = props
  const next = row.nextId === null ? '' : `&next=${row.nextId}`
  return (
    <li class="audit-row" id={`job-${row.id}`} data-row>
      <div class="audit-row-head">
        <a href={auditHref(row.id, search)} data-open>
          <b>{row.address}</b>
        </a>
        <span class="audit-risk">
          <span class="soft">risk</span> <b>{row.risk}</b>
        </span>
      </div>
      <p class="soft">
        {jobLead(row)} · {row.accepted === null ? 'waits' : 'handed in'}{' '}
        <When at={row.since} words={`${spanWords(row.waitsMs)}`} />
      </p>
      {row.accepted === null ? null : (
        <p>
          Accepted by {row.accepted.who}, <When at={row.accepted.at} />
        </p>
      )}
      {row.notes.length === 0 && !row.drawn ? null : (
        <p class="audit-notes">
          {row.drawn ? <b class="audit-note">drawn at random</b> : null}
          {row.notes.map((note) => (
            <b key={note.code} class={`audit-note audit-note-${note.code}`}>
              {note.words}
            </b>
          ))}
        </p>
      )}
      <ul class="audit-reasons">
        {row.reasons.map((reason) => (
          <li key={reason.code}>
            <span class="audit-adds">{reason.adds}</span> {reason.words}
          </li>
        ))}
      </ul>
      {row.refused === null ? null : (
        <p class="message" role="alert">
          {row.refused}
        </p>
      )}
      <div class="audit-row-do">
        <a class="button other" href={auditHref(row.id, search)} aria-label={`Read ${row.address}`}>
          Read
        </a>
        {row.accepted === null ? (
          <form
            method="post"
            action={`/jobs/${row.id}/audit-marks?list=${encodeURIComponent(search)}${next}`}
            data-accept
          >
            <input type="hidden" name="id" value={row.freshId} />
            <input type="hidden" name="subjectKind" value="job" />
            <input type="hidden" name="subjectId" value={row.id} />
            <input type="hidden" name="mark" value="accepted" />
            <Button kind="other" label={`Accept ${row.address}`}>
              Accept
            </Button>
          </form>
        ) : null}
      </div>
    </li>
  )
}
