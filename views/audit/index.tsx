// Which job should be read first, what stands out on it, and how long has it waited?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { type JobKind, SURCHARGE_CODES } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { jobLead } from '../jobs/index.tsx'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { When } from '../parts/when.tsx'
import { KeysHint } from './keys.tsx'
import { reasonWords, spanWords } from './words.ts'

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

const views = (): { view: AuditListProps['query']['view']; label: string }[] => [
  { view: 'waiting', label: say.audit.waiting },
  { view: 'accepted', label: say.audit.acceptedToSignOff },
  { view: 'sealed', label: say.audit.signedOffInThe },
]

const noteWords = (): Record<string, string> => ({
  answered: say.audit.aQuestionAnswered,
  question: say.audit.aQuestionOpen,
  concession: say.audit.aConcessionAskedFor,
  correction: say.audit.aCorrectionWaiting,
  'sent-back': say.audit.sentBackBefore,
})

export function AuditListPage(props: AuditListProps): JSX.Element {
  const { query, rows } = props
  const with_ = (cursor: string | null) =>
    `/audit-list?${[props.search, cursor === null ? '' : `cursor=${cursor}`].filter(Boolean).join('&')}`
  return (
    <Layout {...props.shell} title={say.audit.audit}>
      <h1>{say.audit.audit}</h1>
      <nav aria-label={say.audit.jobsByHowFar}>
        <ul class="tabs">
          {views().map(({ view, label }) => (
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
      <p>
        <a href="/concession-requests">{say.concessions.requests}</a>
      </p>
      <Filters {...props} />
      {props.drawn.length === 0 ? null : (
        <p class="audit-drawn">
          {say.audit.aListByRisk(
            <b>{say.audit.drawnAtRandomOne}</b>,
            props.drawn.map((job, index) => (
              <span key={job.id}>
                {index === 0 ? '' : ', '}
                <a href={auditHref(job.id, props.search)}>{job.address}</a>
              </span>
            )),
          )}
        </p>
      )}
      {rows.length === 0 ? (
        <Empty title={props.search === '' ? say.audit.nothingWaitsForAudit : say.audit.noJobFitsThese}>
          {props.search === '' ? say.audit.aJobComesHere : say.audit.takeAFilterAway}
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
          {props.cursor === null ? null : <a href={with_(null)}>{say.audit.fromTheTop}</a>}
          {props.nextCursor === null ? null : <a href={with_(props.nextCursor)}>{say.audit.furtherDown}</a>}
        </p>
      )}
      <p class="soft">
        {say.audit.theRankIsThe(<a href="/methods/audit-list">{say.audit.howItIsCounted}</a>)}
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
      <summary>{say.audit.filterAndOrder}</summary>
      <form method="get" action="/audit-list" class="audit-filters">
        {query.view === 'waiting' ? null : <input type="hidden" name="view" value={query.view} />}
        <Choice name="order" label={say.audit.inTheOrderOf} value={query.order}>
          <option value="risk">{say.audit.risk}</option>
          <option value="waiting">{say.audit.waitingLongestFirst}</option>
        </Choice>
        <Choice name="technician" label={say.audit.technician} value={query.technician}>
          <option value="">{say.audit.anybody}</option>
          {technicians.map(({ value, label }) => (
            <option key={value} value={value}>
              {label}
            </option>
          ))}
        </Choice>
        <Choice name="standsOut" label={say.audit.whatStandsOut} value={query.standsOut}>
          <option value="">{say.audit.anything}</option>
          {Object.entries(noteWords()).map(([code, words]) => (
            <option key={code} value={code}>
              {words}
            </option>
          ))}
          {SURCHARGE_CODES.map((code) => (
            <option key={code} value={code}>
              {reasonWords()[code]}
            </option>
          ))}
        </Choice>
        <Choice name="days" label={say.audit.waitsAtLeast} value={query.days}>
          <option value="">{say.audit.anyTime}</option>
          <option value="1">{say.audit.n1Day}</option>
          <option value="3">{say.audit.n3Days}</option>
          <option value="7">{say.audit.n7Days}</option>
          <option value="30">{say.audit.n30Days}</option>
        </Choice>
        <Choice name="drawn" label={say.audit.drawnAtRandom} value={query.drawn}>
          <option value="">{say.audit.all}</option>
          <option value="yes">{say.audit.onlyThose}</option>
        </Choice>
        <Button kind="other">{say.audit.show}</Button>
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
          <span class="soft">{say.audit.risk}</span> <b>{row.risk}</b>
        </span>
      </div>
      <p class="soft">
        {jobLead(row)} · {row.accepted === null ? say.audit.waits : say.audit.handedIn}{' '}
        <When at={row.since} words={`${spanWords(row.waitsMs)}`} />
      </p>
      {row.accepted === null ? null : (
        <p>{say.audit.acceptedBy(row.accepted.who, <When at={row.accepted.at} />)}</p>
      )}
      {row.notes.length === 0 && !row.drawn ? null : (
        <p class="audit-notes">
          {row.drawn ? <b class="audit-note">{say.audit.drawnAtRandom2}</b> : null}
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
        <a class="button other" href={auditHref(row.id, search)} aria-label={say.audit.read(row.address)}>
          {say.audit.read2}
        </a>
        {row.accepted === null ? (
          <form
            method="post"
            action={`/jobs/${row.id}/audit-marks?list=${encodeURIComponent(search)}${next}`}
            data-accept
            hx-boost="false"
          >
            <input type="hidden" name="id" value={row.freshId} />
            <input type="hidden" name="subjectKind" value="job" />
            <input type="hidden" name="subjectId" value={row.id} />
            <input type="hidden" name="mark" value="accepted" />
            <Button kind="other" label={say.audit.accept(row.address)}>
              {say.audit.accept2}
            </Button>
          </form>
        ) : null}
      </div>
    </li>
  )
}
