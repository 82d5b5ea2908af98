// Can this job be released? Read from top to bottom: what does not meet, then each part with its numbers and its times.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { AuditSubjectKind, JobEvent, JobKind, JobStage, QuestionState } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Corrections, type CorrectionsProps } from '../corrections/of-job.tsx'
import { jobLead } from '../jobs/index.tsx'
import { theEventWords } from '../jobs/words.ts'
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
import { useWhen, When } from '../parts/when.tsx'
import { auditHref } from './index.tsx'
import { KeysHint } from './keys.tsx'
import { questionStateWords, type ThreadProps, Threads } from './threads.tsx'
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
  freshId: string
  /** The form of a question, on the part that it was asked for. */
  ask: {
    freshId: string
    /** Which entry it may be bound to. */
    entries: readonly { value: string; label: string }[]
  } | null
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
    <Layout {...props.shell} title={say.audit.auditOf(job.address)}>
      <InList list={list} />
      <div class="title-line">
        <h1>{job.address}</h1>
        <a href={`/jobs/${job.id}`}>{say.audit.toTheJob}</a>
      </div>
      <p class="lead">{jobLead(job)}</p>
      <p>
        <Stage stage={job.stage} />{' '}
        <span class="soft">
          {say.audit.handedIn2(
            <When at={props.waits.since} />,
            job.stage === 'submitted' ? say.audit.waits2(spanWords(props.waits.ms)) : '',
          )}
        </span>
      </p>
      {props.note === null ? null : (
        <Flash kind="refused" lead={say.audit.refused}>
          {props.note}
        </Flash>
      )}
      {job.stage === 'open' ? (
        <Flash kind="needs-you" lead={say.audit.beingWorkedOn}>
          {say.audit.itIsAuditedOnce}
        </Flash>
      ) : null}
      <KeysHint of="job" />
      <div data-rows>
        <section class="sheet" id="stands-out" data-row aria-labelledby="stands-out-title">
          <h2 id="stands-out-title">
            {say.audit.whatStandsOut2(<span class="soft">{say.audit.risk2(props.risk)}</span>)}
          </h2>
          {props.notes.length === 0 && !props.drawn ? null : (
            <p class="audit-notes">
              {props.drawn ? <b class="audit-note">{say.audit.drawnAtRandom2}</b> : null}
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
                  <a href={`#question-${thread.id}`}>{thread.about}</a>: {questionStateWords()[thread.state]}
                </li>
              ))}
            </ul>
          )}
        </section>
        <section class="sheet" id="findings" data-row aria-labelledby="findings-title">
          <h2 id="findings-title">
            {props.release.held === 0 ? say.audit.nothingHoldsThisJob : say.audit.whatHoldsThisJob}
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
            <h2 id="photos-title">{say.audit.photosOfTheJob}</h2>
            <PhotoGrid photos={props.photos} />
          </section>
        )}
        <section class="sheet" data-row id="decide" aria-labelledby="decide-title">
          <h2 id="decide-title">{say.audit.yourMarkOnThis}</h2>
          <Threads threads={props.threads} title={say.audit.askedAboutTheJob} level={3} />
          {release.notBecause === null ? null : <p class="hint">{release.notBecause}</p>}
          <Marks marks={props.marks} job={job} list={list} form={props.form} whole />
          <SignOff job={job} release={release} />
          {release.maySendBack ? <SendBack job={job} list={list} form={props.form} /> : null}
        </section>
      </div>
      <section class="sheet" aria-labelledby="happened-title">
        <h2 id="happened-title">{say.audit.whatHappened}</h2>
        <ol class="events">
          {props.events.map((event) => (
            <li key={`${event.event} ${event.at}`}>
              {say.audit.by2(
                theEventWords()[event.event],
                event.who,
                <When at={event.at} />,
                event.reason === null ? null : <span class="soft"> “{event.reason}”</span>,
                event.about.length === 0 ? null : (
                  <span class="soft"> {say.audit.about(event.about.join('; '))}</span>
                ),
              )}
            </li>
          ))}
        </ol>
        {props.usualJobs === 0 ? null : <p class="soft">{say.audit.whatIsUsualIs(props.usualJobs)}</p>}
      </section>
      <InList list={list} atFoot />
    </Layout>
  )
}

const part = (kind: AuditSubjectKind, id: string) => `${kind}-${id}`

/** The way through the list that the reader came from. */
function InList({ list, atFoot }: { list: AuditPageProps['list']; atFoot?: boolean }): JSX.Element {
  return (
    <nav class="audit-way" aria-label={atFoot ? say.audit.auditListAtFoot : say.audit.auditList}>
      <a href={`/audit-list${list.search === '' ? '' : `?${list.search}`}`} data-to-list>
        {say.audit.auditList}
      </a>
      {list.place === null ? null : (
        <span class="soft">{say.audit.ofWord(list.place.at, list.place.of)}</span>
      )}
      {list.previous === null ? null : (
        <a href={auditHref(list.previous, list.search)} data-previous-job>
          {say.audit.previousJob2}
        </a>
      )}
      {list.next === null ? null : (
        <a href={auditHref(list.next, list.search)} data-next-job>
          {say.audit.nextJob2}
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
            <th scope="col">{say.audit.requirement}</th>
            <th scope="col">{say.audit.met}</th>
            <th scope="col">{say.audit.notMet}</th>
            <th scope="col">{say.audit.doesNotApply}</th>
          </tr>
        </thead>
        <tbody>
          {passed.map((row) => (
            <tr key={row.requirement}>
              <th scope="row">
                <a href={`/requirements/${row.requirement}`}>{row.title}</a>
              </th>
              <td data-label={say.audit.met}>{row.met === 0 ? '–' : row.met}</td>
              <td data-label={say.audit.notMet}>
                {row.notMet === 0 ? (
                  '–'
                ) : (
                  <b>
                    <OutcomeMark outcome="open" /> {row.notMet}
                  </b>
                )}
              </td>
              <td data-label={say.audit.doesNotApply}>
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
        <Lines caption={say.audit.chargesAndRunningChecks} lines={system.work} />
        <Threads threads={system.threads} title={say.audit.askedAboutThis} level={3} />
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
          <Threads threads={test.threads} title={say.audit.askedAboutThis} level={3} />
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
          <b>{say.audit.leftOut}</b> {joint.leftOut}
        </p>
      )}
      <Judged findings={joint.findings} usual={joint.usual} />
      <Lines caption={say.audit.whatWasRecordedOf(joint.tag)} lines={joint.steps} />
      {joint.earlier.map((make) => (
        <details key={make.number}>
          <summary>
            {say.audit.makingReplaced(make.number, make.reason === null ? '' : `: ${make.reason}`)}
          </summary>
          <Lines caption={say.audit.makingOf(make.number, joint.tag)} lines={make.steps} />
        </details>
      ))}
      <PhotoGrid photos={joint.photos} />
      <Threads threads={joint.threads} title={say.audit.askedAboutThisJoint} level={3} />
      <Marks marks={joint.marks} job={job} list={list} form={form} takeBack={joint.tag} />
    </section>
  )
}

const titleOf = ({ title, of }: ShortFinding): string => (of === null ? title : `${title}, ${of}`)

/** What is met in one line, the rest each in its own, and the numbers that they were judged by. */
function Judged(props: { findings: readonly ShortFinding[]; usual: readonly Usual[] }): JSX.Element | null {
  if (props.findings.length === 0) return null
  const met = props.findings.filter(({ outcome }) => outcome === 'met')
  const others = props.findings.filter(({ outcome }) => outcome !== 'met')
  const numbers = props.findings.flatMap((finding) =>
    finding.numbers.map((number) => ({ ...number, key: `${finding.id} ${number.label ?? ''}` })),
  )
  return (
    <div>
      <div>
        <ul class="audit-findings">
          {met.length === 0 ? null : (
            <li>
              <OutcomeMark outcome="met" />
              <span>{met.map((finding) => titleOf(finding)).join(' · ')}</span>
            </li>
          )}
          {others.map((finding) => (
            <li key={finding.id}>
              <OutcomeMark outcome={finding.outcome} />
              <span>
                {titleOf(finding)}
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
          {one.label} {one.figure}:{' '}
          {one.place === 'usual' ? (
            say.audit.asUsual
          ) : (
            <b>{one.place === 'lower' ? say.audit.lowerThanUsual : say.audit.higherThanUsual}</b>
          )}{' '}
          <span class="soft">{say.audit.theCrewsTo(one.count, one.low, one.high)}</span>
        </li>
      ))}
    </ul>
  )
}

/** What was recorded, with its three times and its place in the record. */
function Lines({ caption, lines }: { caption: string; lines: readonly Line[] }): JSX.Element | null {
  if (lines.length === 0) return null
  // Some hundred times stand on this page: one format for all, and no component each.
  const when = useWhen()
  // A program, or a page at the desk, has no clock of its own to send.
  const byPhone = lines.some(({ deviceAt }) => deviceAt !== null)
  return (
    <div class="table-scroll">
      <table class="stack audit-lines">
        <caption class="vh">{caption}</caption>
        <thead>
          <tr>
            <th scope="col">{say.audit.what}</th>
            <th scope="col">{say.audit.done}</th>
            <th scope="col">{say.audit.entered}</th>
            {byPhone ? <th scope="col">{say.audit.phonesClock}</th> : null}
            <th scope="col">{say.audit.who}</th>
            <th scope="col">{say.audit.entry2}</th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line, index) => (
            <tr key={line.id}>
              <th scope="row">
                {line.words}
                {line.instrument === null ? null : <span class="soft"> {line.instrument}</span>}
              </th>
              <td data-label={say.audit.done}>
                {when({ at: line.at, show: sameDay(lines[index - 1], line) ? 'time' : 'both' })}
              </td>
              <td data-label={say.audit.entered}>
                {Math.abs(line.recordedAt - line.at) < MINUTE ? (
                  say.audit.atOnce
                ) : (
                  <Apart at={line.recordedAt} from={line.at} same={say.audit.atOnce} />
                )}
              </td>
              {byPhone ? (
                <td data-label={say.audit.phonesClock}>
                  {line.deviceAt === null ? (
                    '–'
                  ) : (
                    <Apart at={line.deviceAt} from={line.recordedAt} same={say.audit.theSame} />
                  )}
                </td>
              ) : null}
              <td data-label={say.audit.who} class="audit-who">
                {[line.who, ...line.beside].join(', ')}
              </td>
              <td data-label={say.audit.entry2} class="audit-entry">
                {line.entry ?? '–'}
              </td>
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
  return (
    <When
      at={props.at}
      words={apart > 0 ? say.audit.later(spanWords(apart)) : say.audit.earlier(spanWords(-apart))}
    />
  )
}

function Stamps({ line }: { line: Stamped }): JSX.Element {
  return (
    <>
      {say.audit.begunEntered(<When at={line.at} />)}{' '}
      <Apart at={line.recordedAt} from={line.at} same={say.audit.atOnce} />
      {line.deviceAt === null ? null : (
        <>
          {say.audit.byThePhonesClock2}{' '}
          <Apart at={line.deviceAt} from={line.recordedAt} same={say.audit.theSame} />
        </>
      )}
      , {[line.who, ...line.beside].join(', ')}
      {line.entry === null ? '' : say.audit.entry3(line.entry)}
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
  const { marks } = props
  const jobId = props.job.id
  const back = `from=audit&part=${part(marks.kind, marks.id)}${props.list.place === null && props.list.search === '' ? '' : `&list=${encodeURIComponent(props.list.search)}`}`
  const name = props.whole ? say.audit.theWholeJob : say.audit.thisPart
  return (
    <div class="audit-marks">
      {marks.accepted === null ? null : (
        <p class="audit-accepted">
          <OutcomeMark outcome="met" />{' '}
          {say.audit.acceptedBy2(
            marks.accepted.who,
            <When at={marks.accepted.at} />,
            marks.accepted.note === null ? null : ` “${marks.accepted.note}”`,
          )}
        </p>
      )}
      {marks.changedSince ? (
        <p class="audit-note audit-note-correction">{say.audit.changedSinceItWas}</p>
      ) : null}
      {marks.mended ? <p class="audit-note">{say.audit.recordedSinceItWas}</p> : null}
      {marks.mayMark ? (
        <form
          method="post"
          action={`/jobs/${jobId}/audit-marks?${back}`}
          // The browser itself follows it to the part: a boosted form would lose where on the page that is.
          hx-boost="false"
          data-accept={marks.accepted === null ? true : undefined}
        >
          <input type="hidden" name="id" value={marks.freshId} />
          <input type="hidden" name="subjectKind" value={marks.kind} />
          <input type="hidden" name="subjectId" value={marks.id} />
          <input type="hidden" name="mark" value={marks.accepted === null ? 'accepted' : 'withdrawn'} />
          {marks.accepted === null ? (
            marks.hasOpenQuestion ? (
              <p class="hint">{say.audit.aQuestionAboutIs(name)}</p>
            ) : (
              <Button kind="other">{props.whole ? say.audit.acceptTheWholeJob : say.audit.accept2}</Button>
            )
          ) : (
            <Button kind="other">{say.audit.takeBack}</Button>
          )}
        </form>
      ) : null}
      {props.takeBack === undefined ? null : (
        <TakeBack job={props.job} id={marks.id} name={props.takeBack} form={props.form} />
      )}
      {marks.ask === null ? (
        <a href={askHref(props.job.id, props.list, part(marks.kind, marks.id))} data-ask hx-boost="false">
          {say.audit.askAbout(name)}
        </a>
      ) : (
        <AskForm {...props} ask={marks.ask} action={`/jobs/${jobId}/audit-questions?${back}`} name={name} />
      )}
    </div>
  )
}

/** The same page with the form at the part that is asked about; forty of them would be most of the page. */
const askHref = (jobId: string, list: AuditPageProps['list'], here: string): string => {
  const from = list.place === null && list.search === '' ? '' : `list=${encodeURIComponent(list.search)}&`
  return `/jobs/${jobId}/audit?${from}ask=${here}#${here}`
}

function AskForm(props: {
  marks: PartMarks
  ask: NonNullable<PartMarks['ask']>
  action: string
  name: string
  form: FormState | undefined
}): JSX.Element {
  const { marks, ask, name } = props
  const here = part(marks.kind, marks.id)
  const mine = props.form?.values._part === here ? props.form : undefined
  return (
    <form method="post" action={props.action} hx-boost="false" class="audit-ask">
      <input type="hidden" name="id" value={ask.freshId} />
      <input type="hidden" name="_part" value={here} />
      <input type="hidden" name="subjectKind" value={marks.kind} />
      <input type="hidden" name="subjectId" value={marks.id} />
      {ask.entries.length === 0 ? null : (
        <label for={`entry-${marks.id}`}>
          {say.audit.about2}
          <select id={`entry-${marks.id}`} name="entryId">
            <option value="">{say.audit.orSomethingMissing(name)}</option>
            {ask.entries.map((entry) => (
              <option key={entry.value} value={entry.value} selected={mine?.values.entryId === entry.value}>
                {entry.label}
              </option>
            ))}
          </select>
        </label>
      )}
      <AreaField
        name="words"
        label={say.audit.yourQuestion}
        hint={say.audit.theTechnicianReadsIt}
        form={{ values: {}, errors: [], ...mine, scope: `ask-${marks.id}` }}
        focus
      />
      <Button kind="other">{say.audit.ask}</Button>
    </form>
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
      {say.audit.sendBackWith(props.name)}
    </label>
  )
}

function SignOff({ job, release }: Pick<AuditPageProps, 'job' | 'release'>): JSX.Element | null {
  if (job.stage === 'sealed') return <p class="hint">{say.audit.thisJobIsSigned}</p>
  if (job.stage !== 'submitted' || release.notBecause !== null) return null
  if (release.held > 0) return <p class="hint">{say.audit.whatHoldsTheJob}</p>
  if (release.openQuestions > 0) return <p class="hint">{say.audit.settleTheOpenQuestions}</p>
  return (
    <form method="post" action={`/jobs/${job.id}/sign-off?from=audit`}>
      <p class="hint">{say.audit.signingOffSealsThe}</p>
      <Button>{say.audit.signOffAndSeal}</Button>
    </form>
  )
}

function SendBack({ job, list, form }: Pick<AuditPageProps, 'job' | 'list' | 'form'>): JSX.Element {
  const mine = form?.values._form === SEND_BACK ? form : undefined
  return (
    <details open={mine !== undefined}>
      <summary>{say.audit.sendBackToThe}</summary>
      <form
        method="post"
        id={SEND_BACK}
        action={`/jobs/${job.id}/send-back?from=audit&list=${encodeURIComponent(list.search)}`}
      >
        <input type="hidden" name="_form" value={SEND_BACK} />
        <AreaField
          name="reason"
          label={say.audit.whatNeedsAnotherLook}
          hint={say.audit.withItGoThe}
          form={{ values: {}, errors: [], ...mine, scope: SEND_BACK }}
        />
        <Button kind="refuse">{say.audit.sendBack}</Button>
      </form>
    </details>
  )
}

function Instruments({ instruments }: Pick<AuditPageProps, 'instruments'>): JSX.Element | null {
  if (instruments.length === 0) return null
  return (
    <section class="sheet" data-row id="instruments" aria-labelledby="instruments-title">
      <h2 id="instruments-title">{say.audit.instrumentsAsTheyStood}</h2>
      <div class="table-scroll">
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{say.audit.name}</th>
              <th scope="col">{say.audit.used}</th>
              <th scope="col">{say.audit.lastCheckBefore}</th>
              <th scope="col">{say.audit.onTheDay}</th>
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
                <td data-label={say.audit.used}>{say.audit.last(one.uses, <When at={one.to} />)}</td>
                <td data-label={say.audit.lastCheckBefore}>{one.calibration}</td>
                <td data-label={say.audit.onTheDay}>
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
