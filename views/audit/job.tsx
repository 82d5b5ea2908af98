// Can this job be released? Read from top to bottom: what does not meet, then each part with its numbers and its times.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { AuditSubjectKind, JobEvent, JobKind, JobStage, QuestionState } from '../../server/vocabulary.ts'
import { Corrections, type CorrectionsProps } from '../corrections/of-job.tsx'
import { jobLead } from '../jobs/index.tsx'
import { EVENT_WORDS } from '../jobs/words.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { DecayPlot, type DecayPlotProps } from '../parts/decay-plot.tsx'
import { Facts, type FactsProps } from '../parts/facts.tsx'
import { AreaField, type FormState } from '../parts/field.tsx'
import { type FindingItem, FindingList } from '../parts/finding-list.tsx'
import { Flash } from '../parts/flash.tsx'
import { JudgedNumber, type JudgedNumberProps } from '../parts/judged-number.tsx'
import { type FindingOutcome, OutcomeMark } from '../parts/mark.tsx'
import { PhotoGrid, type ShownPhoto } from '../parts/photos.tsx'
import { PipeStrip, type PipeStripProps } from '../parts/pipe-strip.tsx'
import { PressurePlot, type PressurePlotProps } from '../parts/pressure-plot.tsx'
import { Stage } from '../parts/stage.tsx'
import { Tag } from '../parts/tag.tsx'
import { When } from '../parts/when.tsx'
import { auditHref } from './index.tsx'
import { KeysHint } from './keys.tsx'
import { QUESTION_STATE_WORDS, type ThreadProps, Threads } from './threads.tsx'
import { spanWords } from './words.ts'

/** What may be marked and asked at a part, and what was. */
export interface PartMarks {
  kind: AuditSubjectKind
  id: string
  accepted: { who: string; at: number; note: string | null } | null
  /** It was accepted once, and something was recorded of it since. */
  changedSince: boolean
  /** Something was recorded of it since the job was last sent back. */
  mended: boolean
  mayMark: boolean
  hasOpenQuestion: boolean
  /** Which entry a question may be bound to. */
  entries: readonly { value: string; label: string }[]
  freshIds: readonly [string, string]
}

/** A figure among those that the crew usually gets. */
export interface Usual {
  label: string
  figure: string
  place: 'usual' | 'lower' | 'higher'
  low: string
  high: string
  count: number
}

/** When something was done, entered and stamped, and by whom. */
export interface Stamped {
  id: string
  at: number
  recordedAt: number
  deviceAt: number | null
  who: string
  beside: readonly string[]
  entry: number | null
}
type Line = Stamped & { words: string; instrument: string | null }

/** A finding in a line. */
export interface ShortFinding {
  id: string
  title: string
  /** Of which line or unit, where it is not the part's own. */
  of: string | null
  outcome: FindingOutcome
  reason: string | null
  numbers: readonly JudgedNumberProps[]
}

export interface AuditedJoint {
  id: string
  tag: string
  place: string
  kind: string
  leftOut: string | null
  isPort: boolean
  findings: readonly ShortFinding[]
  usual: readonly Usual[]
  steps: readonly Line[]
  earlier: readonly { number: number; reason: string | null; steps: readonly Line[] }[]
  photos: readonly ShownPhoto[]
  marks: PartMarks
  threads: readonly ThreadProps[]
}

export interface AuditedSystem {
  id: string
  name: string
  refrigerant: string
  facts: FactsProps['facts']
  strip: PipeStripProps | null
  findings: readonly ShortFinding[]
  work: readonly Line[]
  marks: PartMarks
  threads: readonly ThreadProps[]
  joints: readonly AuditedJoint[]
  tests: readonly {
    id: string
    title: string
    href: string
    passes: boolean
    numbers: readonly JudgedNumberProps[]
    concluded: string | null
    reasons: readonly string[]
    facts: FactsProps['facts']
    pressure?: PressurePlotProps | undefined
    decay?: DecayPlotProps | undefined
    usual: readonly Usual[]
    recorded: Stamped
    photos: readonly ShownPhoto[]
    marks: PartMarks
    threads: readonly ThreadProps[]
  }[]
}

export interface AuditPageProps {
  shell: Shell
  job: {
    id: string
    kind: JobKind
    reference: string | null
    stage: JobStage
    address: string
    customerName: string
    assignedName: string | null
  }
  waits: { since: number; ms: number }
  risk: string
  drawn: boolean
  reasons: readonly { code: string; words: string; adds: string }[]
  notes: readonly { code: string; words: string }[]
  list: {
    /** As it stands in the address. */
    search: string
    previous: string | null
    next: string | null
    place: { at: number; of: number } | null
  }
  marks: PartMarks
  threads: readonly ThreadProps[]
  openThreads: readonly { id: string; about: string; state: QuestionState }[]
  notMet: readonly FindingItem[]
  passed: readonly {
    requirement: string
    title: string
    met: number
    notMet: number
    notApplicable: number
    why: string | null
  }[]
  corrections: CorrectionsProps['corrections']
  systems: readonly AuditedSystem[]
  instruments: readonly {
    id: string
    name: string
    kind: string
    serial: string
    uses: number
    from: number
    to: number
    calibration: string
    outcome: FindingOutcome
    reason: string
  }[]
  /** Of the job as a whole. */
  photos: readonly ShownPhoto[]
  events: readonly {
    event: JobEvent
    at: number
    who: string
    reason: string | null
    about: readonly string[]
  }[]
  release: {
    mayMark: boolean
    maySignOff: boolean
    maySendBack: boolean
    held: number
    openQuestions: number
    notBecause: string | null
  }
  /** How many jobs the crew's usual is taken from. */
  usualJobs: number
  form?: FormState | undefined
  note: string | null
}

const SEND_BACK = 'send-back'

export function AuditPage(props: AuditPageProps): JSX.Element {
  const { job, release, list } = props
  return (
    <Layout {...props.shell} title={`Audit of ${job.address}`}>
      <InList list={list} />
      <div class="title-line">
        <h1>{job.address}</h1>
        <a href={`/jobs/${job.id}`}>To the job</a>
      </div>
      <p class="lead">{jobLead(job)}</p>
      <p>
        <Stage stage={job.stage} />{' '}
        <span class="soft">
          handed in <When at={props.waits.since} />
          {job.stage === 'submitted' ? `, waits ${spanWords(props.waits.ms)}` : ''}
        </span>
      </p>
      {props.note === null ? null : (
        <Flash kind="refused" lead="Refused.">
          {props.note}
        </Flash>
      )}
      {job.stage === 'open' ? (
        <Flash kind="needs-you" lead="Being worked on.">
          It is audited once it is submitted. What stands here may still change.
        </Flash>
      ) : null}
      <KeysHint of="job" />
      <div data-rows>
        <section class="sheet" id="stands-out" data-row aria-labelledby="stands-out-title">
          <h2 id="stands-out-title">
            What stands out <span class="soft">risk {props.risk}</span>
          </h2>
          {props.notes.length === 0 && !props.drawn ? null : (
            <p class="audit-notes">
              {props.drawn ? <b class="audit-note">drawn at random</b> : null}
              {props.notes.map((note) => (
                <b key={note.code} class={`audit-note audit-note-${note.code}`}>
                  {note.words}
                </b>
              ))}
            </p>
          )}
          <ul class="audit-reasons">
            {props.reasons.map((reason) => (
              <li key={reason.code}>
                <span class="audit-adds">{reason.adds}</span> {reason.words}
              </li>
            ))}
          </ul>
          {props.openThreads.length === 0 ? null : (
            <ul>
              {props.openThreads.map((thread) => (
                <li key={thread.id}>
                  <a href={`#question-${thread.id}`}>{thread.about}</a>: {QUESTION_STATE_WORDS[thread.state]}
                </li>
              ))}
            </ul>
          )}
        </section>
        <section class="sheet" id="findings" data-row aria-labelledby="findings-title">
          <h2 id="findings-title">
            {props.release.held === 0 ? 'Nothing holds this job' : 'What holds this job'}
          </h2>
          {props.notMet.length === 0 ? null : <FindingList findings={props.notMet} level={3} />}
          <Passed passed={props.passed} />
        </section>
        <Corrections corrections={props.corrections} form={undefined} />
        {props.systems.map((system) => (
          <SystemPart key={system.id} system={system} list={list} job={job} form={props.form} />
        ))}
        <Instruments instruments={props.instruments} />
        {props.photos.length === 0 ? null : (
          <section class="sheet" aria-labelledby="photos-title">
            <h2 id="photos-title">Photos of the job</h2>
            <PhotoGrid photos={props.photos} />
          </section>
        )}
        <section class="sheet" data-row id="decide" aria-labelledby="decide-title">
          <h2 id="decide-title">Your mark on this job</h2>
          <Threads threads={props.threads} title="Asked about the job" level={3} />
          {release.notBecause === null ? null : <p class="hint">{release.notBecause}</p>}
          <Marks marks={props.marks} job={job} list={list} form={props.form} whole />
          <SignOff job={job} release={release} />
          {release.maySendBack ? <SendBack job={job} list={list} form={props.form} /> : null}
        </section>
      </div>
      <section class="sheet" aria-labelledby="happened-title">
        <h2 id="happened-title">What happened</h2>
        <ol class="events">
          {props.events.map((event) => (
            <li key={`${event.event} ${event.at}`}>
              {EVENT_WORDS[event.event]} by {event.who}, <When at={event.at} />
              {event.reason === null ? null : <span class="soft"> “{event.reason}”</span>}
              {event.about.length === 0 ? null : <span class="soft"> About: {event.about.join('; ')}</span>}
            </li>
          ))}
        </ol>
        {props.usualJobs === 0 ? null : (
          <p class="soft">
            What is usual is taken from the crew's last {props.usualJobs} jobs that were signed off: nine of
            ten lie in the range given.
          </p>
        )}
      </section>
      <InList list={list} />
    </Layout>
  )
}

const part = (kind: AuditSubjectKind, id: string) => `${kind}-${id}`

/** The way through the list that the reader came from. */
function InList({ list }: { list: AuditPageProps['list'] }): JSX.Element {
  return (
    <nav class="audit-way" aria-label="Audit list">
      <a href={`/audit-list${list.search === '' ? '' : `?${list.search}`}`} data-to-list>
        Audit list
      </a>
      {list.place === null ? null : (
        <span class="soft">
          {list.place.at} of {list.place.of}
        </span>
      )}
      {list.previous === null ? null : (
        <a href={auditHref(list.previous, list.search)} data-previous-job>
          Previous job
        </a>
      )}
      {list.next === null ? null : (
        <a href={auditHref(list.next, list.search)} data-next-job>
          Next job
        </a>
      )}
    </nav>
  )
}

function Passed({ passed }: Pick<AuditPageProps, 'passed'>): JSX.Element {
  return (
    <div class="table-scroll">
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">Requirement</th>
            <th scope="col">Met</th>
            <th scope="col">Not met</th>
            <th scope="col">Does not apply</th>
          </tr>
        </thead>
        <tbody>
          {passed.map((row) => (
            <tr key={row.requirement}>
              <th scope="row">
                <a href={`/requirements/${row.requirement}`}>{row.title}</a>
              </th>
              <td data-label="Met">{row.met === 0 ? '–' : row.met}</td>
              <td data-label="Not met">
                {row.notMet === 0 ? (
                  '–'
                ) : (
                  <b>
                    <OutcomeMark outcome="open" /> {row.notMet}
                  </b>
                )}
              </td>
              <td data-label="Does not apply">
                {row.notApplicable === 0
                  ? '–'
                  : row.met === 0 && row.notMet === 0
                    ? row.why
                    : row.notApplicable}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

interface PartProps {
  list: AuditPageProps['list']
  job: AuditPageProps['job']
  form: FormState | undefined
}

function SystemPart({ system, list, job, form }: PartProps & { system: AuditedSystem }): JSX.Element {
  return (
    <>
      <section class="sheet" id={part('system', system.id)} data-row aria-labelledby={`name-${system.id}`}>
        <h2 id={`name-${system.id}`}>
          {system.name} <span class="soft">{system.refrigerant}</span>
        </h2>
        <Facts facts={system.facts} />
        {system.strip === null ? null : <PipeStrip {...system.strip} />}
        <Judged findings={system.findings} usual={[]} />
        {system.work.length === 0 ? null : <Lines caption="Charges and running checks" lines={system.work} />}
        <Threads threads={system.threads} title="Asked about this" level={3} />
        <Marks marks={system.marks} job={job} list={list} form={form} takeBack={system.name} />
      </section>
      {system.joints.map((joint) => (
        <JointPart key={joint.id} joint={joint} list={list} job={job} form={form} />
      ))}
      {system.tests.map((test) => (
        <section
          key={test.id}
          class="sheet"
          id={part(test.marks.kind, test.id)}
          data-row
          aria-labelledby={`test-${test.id}`}
        >
          <h2 id={`test-${test.id}`}>
            <OutcomeMark outcome={test.passes ? 'met' : 'failed'} /> <a href={test.href}>{test.title}</a>
          </h2>
          <div class="two even">
            <div>
              <Facts facts={test.facts} />
              {test.concluded === null ? null : <p class="soft">{test.concluded}</p>}
              {test.reasons.length === 0 ? null : (
                <ul>
                  {test.reasons.map((reason) => (
                    <li key={reason}>{reason}</li>
                  ))}
                </ul>
              )}
              <UsualLines usual={test.usual} />
              <p class="soft">
                <Stamps line={test.recorded} />
              </p>
            </div>
            {test.pressure === undefined ? null : <PressurePlot {...test.pressure} />}
            {test.decay === undefined ? null : <DecayPlot {...test.decay} />}
          </div>
          {test.numbers.length === 0 ? null : (
            <div class="audit-numbers">
              {test.numbers.map((number) => (
                <JudgedNumber key={number.label} {...number} />
              ))}
            </div>
          )}
          <PhotoGrid photos={test.photos} />
          <Threads threads={test.threads} title="Asked about this" level={3} />
          <Marks marks={test.marks} job={job} list={list} form={form} />
        </section>
      ))}
    </>
  )
}

function JointPart({ joint, list, job, form }: PartProps & { joint: AuditedJoint }): JSX.Element {
  return (
    <section
      class="sheet audit-joint"
      id={part('joint', joint.id)}
      data-row
      aria-labelledby={`tag-${joint.id}`}
    >
      <h2 id={`tag-${joint.id}`}>
        <Tag tag={joint.tag} href={`/joints/${joint.id}?job=${job.id}`} />{' '}
        <span class="audit-place">{joint.place}</span>
      </h2>
      <p class="soft">{joint.kind}</p>
      {joint.leftOut === null ? null : (
        <p>
          <b>Left out:</b> {joint.leftOut}
        </p>
      )}
      <Judged findings={joint.findings} usual={joint.usual} />
      {joint.isPort ? (
        <details>
          <summary>
            {joint.steps.length} {joint.steps.length === 1 ? 'entry' : 'entries'}
          </summary>
          <Lines caption={`What was recorded of ${joint.tag}`} lines={joint.steps} />
        </details>
      ) : (
        <Lines caption={`What was recorded of ${joint.tag}`} lines={joint.steps} />
      )}
      {joint.earlier.map((make) => (
        <details key={make.number}>
          <summary>
            Making {make.number}, replaced{make.reason === null ? '' : `: ${make.reason}`}
          </summary>
          <Lines caption={`Making ${make.number} of ${joint.tag}`} lines={make.steps} />
        </details>
      ))}
      <PhotoGrid photos={joint.photos} />
      <Threads threads={joint.threads} title="Asked about this joint" level={3} />
      <Marks marks={joint.marks} job={job} list={list} form={form} takeBack={joint.tag} />
    </section>
  )
}

/** Each requirement in a line, and the numbers that it was judged by. */
function Judged(props: { findings: readonly ShortFinding[]; usual: readonly Usual[] }): JSX.Element | null {
  if (props.findings.length === 0) return null
  const numbers = props.findings.flatMap((finding) =>
    finding.numbers.map((number) => ({ ...number, key: `${finding.id} ${number.label ?? ''}` })),
  )
  return (
    <div>
      <div>
        <ul class="audit-findings">
          {props.findings.map((finding) => (
            <li key={finding.id}>
              <OutcomeMark outcome={finding.outcome} />
              <span>
                {finding.title}
                {finding.of === null ? '' : `, ${finding.of}`}
                {finding.reason === null ? null : <span class="soft"> {finding.reason}</span>}
              </span>
            </li>
          ))}
        </ul>
        <UsualLines usual={props.usual} />
      </div>
      {numbers.length === 0 ? null : (
        <div class="audit-numbers">
          {numbers.map(({ key, ...number }) => (
            <JudgedNumber key={key} {...number} />
          ))}
        </div>
      )}
    </div>
  )
}

function UsualLines({ usual }: { usual: readonly Usual[] }): JSX.Element | null {
  if (usual.length === 0) return null
  return (
    <ul class="audit-usual">
      {usual.map((one) => (
        <li key={one.label}>
          {one.label} {one.figure}: {one.place === 'usual' ? 'as usual' : <b>{one.place} than usual</b>}{' '}
          <span class="soft">
            (the crew's {one.count}: {one.low} to {one.high})
          </span>
        </li>
      ))}
    </ul>
  )
}

/** What was recorded, with its three times and its place in the record. */
function Lines({ caption, lines }: { caption: string; lines: readonly Line[] }): JSX.Element | null {
  if (lines.length === 0) return null
  return (
    <div class="table-scroll">
      <table class="stack audit-lines">
        <caption class="vh">{caption}</caption>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col">Done</th>
            <th scope="col">Entered</th>
            <th scope="col">Phone's clock</th>
            <th scope="col">Who</th>
            <th scope="col">Entry</th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line, index) => (
            <tr key={line.id}>
              <th scope="row">
                {line.words}
                {line.instrument === null ? null : <span class="soft"> {line.instrument}</span>}
              </th>
              <td data-label="Done">
                <When at={line.at} show={sameDay(lines[index - 1], line) ? 'time' : 'both'} />
              </td>
              <td data-label="Entered">
                <Apart at={line.recordedAt} from={line.at} same="at once" />
              </td>
              <td data-label="Phone's clock">
                {line.deviceAt === null ? (
                  '–'
                ) : (
                  <Apart at={line.deviceAt} from={line.recordedAt} same="the same" />
                )}
              </td>
              <td data-label="Who">{[line.who, ...line.beside].join(', ')}</td>
              <td data-label="Entry">{line.entry ?? '–'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

/** A day is said once: the times under it are of the same. */
const sameDay = (before: Stamped | undefined, { at }: Stamped): boolean =>
  before !== undefined && Math.abs(before.at - at) < 6 * 60 * MINUTE

const MINUTE = 60_000

/** A time by how far it is from another: "at once", "45 min later". */
function Apart(props: { at: number; from: number; same: string }): JSX.Element {
  const apart = props.at - props.from
  if (Math.abs(apart) < MINUTE) return <>{props.same}</>
  return <When at={props.at} words={`${spanWords(Math.abs(apart))} ${apart > 0 ? 'later' : 'earlier'}`} />
}

function Stamps({ line }: { line: Stamped }): JSX.Element {
  return (
    <>
      Begun <When at={line.at} />, entered <Apart at={line.recordedAt} from={line.at} same="at once" />
      {line.deviceAt === null ? null : (
        <>
          , by the phone's clock <Apart at={line.deviceAt} from={line.recordedAt} same="the same" />
        </>
      )}
      , {[line.who, ...line.beside].join(', ')}
      {line.entry === null ? '' : `, entry ${line.entry}`}
    </>
  )
}

/** Accept a part, take that back, or ask about it. */
function Marks(props: {
  marks: PartMarks
  job: AuditPageProps['job']
  list: AuditPageProps['list']
  form: FormState | undefined
  whole?: boolean
  /** How the part is called when it is sent back; left out, it can't be. */
  takeBack?: string
}): JSX.Element {
  const { marks, form } = props
  const jobId = props.job.id
  const back = `from=audit&part=${part(marks.kind, marks.id)}${props.list.place === null && props.list.search === '' ? '' : `&list=${encodeURIComponent(props.list.search)}`}`
  const mine = form?.values._part === part(marks.kind, marks.id) ? form : undefined
  const name = props.whole ? 'the whole job' : 'this part'
  return (
    <div class="audit-marks">
      {marks.accepted === null ? null : (
        <p class="audit-accepted">
          <OutcomeMark outcome="met" /> Accepted by {marks.accepted.who}, <When at={marks.accepted.at} />
          {marks.accepted.note === null ? null : ` “${marks.accepted.note}”`}
        </p>
      )}
      {marks.changedSince ? (
        <p class="audit-note audit-note-correction">Changed since it was accepted</p>
      ) : null}
      {marks.mended ? <p class="audit-note">Recorded since it was sent back</p> : null}
      {marks.mayMark ? (
        <form
          method="post"
          action={`/jobs/${jobId}/audit-marks?${back}`}
          data-accept={marks.accepted === null ? true : undefined}
        >
          <input type="hidden" name="id" value={marks.freshIds[0]} />
          <input type="hidden" name="subjectKind" value={marks.kind} />
          <input type="hidden" name="subjectId" value={marks.id} />
          <input type="hidden" name="mark" value={marks.accepted === null ? 'accepted' : 'withdrawn'} />
          {marks.accepted === null ? (
            marks.hasOpenQuestion ? (
              <p class="hint">A question about {name} is open. Settle it first.</p>
            ) : (
              <Button kind="other">{props.whole ? 'Accept the whole job' : 'Accept'}</Button>
            )
          ) : (
            <Button kind="other">Take back</Button>
          )}
        </form>
      ) : null}
      {props.takeBack === undefined ? null : (
        <TakeBack job={props.job} id={marks.id} name={props.takeBack} form={form} />
      )}
      <details data-ask open={mine !== undefined}>
        <summary>Ask about {name}</summary>
        <form method="post" action={`/jobs/${jobId}/audit-questions?${back}`}>
          <input type="hidden" name="id" value={marks.freshIds[1]} />
          <input type="hidden" name="_part" value={part(marks.kind, marks.id)} />
          <input type="hidden" name="subjectKind" value={marks.kind} />
          <input type="hidden" name="subjectId" value={marks.id} />
          {marks.entries.length === 0 ? null : (
            <label for={`entry-${marks.id}`}>
              About
              <select id={`entry-${marks.id}`} name="entryId">
                <option value="">{name}, or something missing</option>
                {marks.entries.map((entry) => (
                  <option key={entry.value} value={entry.value}>
                    {entry.label}
                  </option>
                ))}
              </select>
            </label>
          )}
          <AreaField
            name="words"
            label="Your question"
            hint="The technician reads it on the job and on the joint, and answers there."
            form={{ values: {}, errors: [], ...mine, scope: `ask-${marks.id}` }}
          />
          <Button kind="other">Ask</Button>
        </form>
      </details>
    </div>
  )
}

/** Ticked at the part, sent with the reason at the foot of the page. */
function TakeBack(props: {
  job: AuditPageProps['job']
  id: string
  name: string
  form: FormState | undefined
}): JSX.Element | null {
  if (props.job.stage !== 'submitted') return null
  const field = `_subject.${props.id}`
  return (
    <label class="check">
      <input
        type="checkbox"
        form={SEND_BACK}
        name={field}
        value="yes"
        checked={props.form?.values[field] === 'yes'}
      />{' '}
      Send back with {props.name}
    </label>
  )
}

function SignOff({ job, release }: Pick<AuditPageProps, 'job' | 'release'>): JSX.Element | null {
  if (job.stage === 'sealed')
    return <p class="hint">This job is signed off. A mark changes nothing of that.</p>
  if (job.stage !== 'submitted' || release.notBecause !== null) return null
  if (release.held > 0) return <p class="hint">What holds the job keeps it from being signed off.</p>
  if (release.openQuestions > 0)
    return <p class="hint">Settle the open questions first; then it can be signed off.</p>
  return (
    <form method="post" action={`/jobs/${job.id}/sign-off?from=audit`}>
      <p class="hint">Signing off seals the job and issues the certificate.</p>
      <Button>Sign off and seal</Button>
    </form>
  )
}

function SendBack({ job, list, form }: Pick<AuditPageProps, 'job' | 'list' | 'form'>): JSX.Element {
  const mine = form?.values._form === SEND_BACK ? form : undefined
  return (
    <details open={mine !== undefined}>
      <summary>Send back to the technician</summary>
      <form
        method="post"
        id={SEND_BACK}
        action={`/jobs/${job.id}/send-back?from=audit&list=${encodeURIComponent(list.search)}`}
      >
        <input type="hidden" name="_form" value={SEND_BACK} />
        <AreaField
          name="reason"
          label="What needs another look"
          hint="With it go the parts that are ticked above."
          form={{ values: {}, errors: [], ...mine, scope: SEND_BACK }}
        />
        <Button kind="refuse">Send back</Button>
      </form>
    </details>
  )
}

function Instruments({ instruments }: Pick<AuditPageProps, 'instruments'>): JSX.Element | null {
  if (instruments.length === 0) return null
  return (
    <section class="sheet" data-row id="instruments" aria-labelledby="instruments-title">
      <h2 id="instruments-title">Instruments, as they stood on the day</h2>
      <div class="table-scroll">
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">Name</th>
              <th scope="col">Used</th>
              <th scope="col">Last check before</th>
              <th scope="col">On the day</th>
            </tr>
          </thead>
          <tbody>
            {instruments.map((one) => (
              <tr key={one.id}>
                <th scope="row">
                  <a href={`/instruments/${one.id}`}>{one.name}</a>{' '}
                  <span class="soft">
                    {one.kind}, {one.serial}
                  </span>
                </th>
                <td data-label="Used">
                  {one.uses} ×, last <When at={one.to} />
                </td>
                <td data-label="Last check before">{one.calibration}</td>
                <td data-label="On the day">
                  <OutcomeMark outcome={one.outcome} /> {one.reason}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}
