// What do we know of this joint, and what not? Everything on one page, in short first, each sentence with the entry it rests on.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { InstrumentThen, Statement, Unknown } from '../../server/rules/joint-history.ts'
import type { StepKind } from '../../server/vocabulary.ts'
import { causeWords } from '../callbacks/words.ts'
import { type CorrectionNote, CorrectionNotes } from '../corrections/form.tsx'
import { RESULT_WORDS } from '../instruments/words.ts'
import { Layout } from '../layout.tsx'
import { JudgedNumber, type JudgedNumberProps } from '../parts/judged-number.tsx'
import { type FindingOutcome, OutcomeMark } from '../parts/mark.tsx'
import { Photos, type PhotosProps } from '../parts/photos.tsx'
import { PipeStrip, type PipeStripProps } from '../parts/pipe-strip.tsx'
import { Tag } from '../parts/tag.tsx'
import { useWhen, When } from '../parts/when.tsx'
import { gramsAYear, type Sayings, sentenceOf, unknownWords, verdictWords } from './history-words.ts'
import { STEP_TITLES } from './step-words.ts'

export interface HistoryStep {
  id: string
  kind: StepKind
  summary: string
  outcome: FindingOutcome | undefined
  who: string
  at: number
  recordedAt: number
  deviceAt: number | null
  instrument: { id: string; name: string } | null
  /** Which entry of the system's record brought it. */
  entry: number | null
  judged: JudgedNumberProps | null
  /** What its instrument's error makes of it, or why a check does not count. */
  remarks: readonly string[]
  notes: readonly CorrectionNote[]
}

export interface JointHistoryProps {
  shell: Shell
  joint: { id: string; tag: string; lead: string }
  system: { id: string; name: string }
  site: { id: string; customerName: string; address: string }
  strip: PipeStripProps
  /** Names by crew id. */
  people: Record<string, string>
  summary: readonly Statement[]
  unknown: readonly Unknown[]
  /** The newest first. */
  makings: readonly {
    id: string
    number: number
    isCurrent: boolean
    at: number
    who: string
    job: string
    /** Why the next one was made. */
    replaced: string | null
    steps: readonly HistoryStep[]
  }[]
  /** Leak checks that belong to no making. */
  checks: readonly HistoryStep[]
  instruments: readonly InstrumentThen[]
  tests: readonly {
    id: string
    kind: 'pressure' | 'evacuation'
    at: number
    who: string
    atItsEnd: string | null
    today: string | null
    outcome: FindingOutcome
    holdS: number
    seenKgPerYear: number | null
    reasons: readonly string[]
    stale: string | null
  }[]
  photos: PhotosProps
  corrections: readonly (CorrectionNote & { before: string; after: string })[]
  callbacks: readonly {
    id: string
    at: number
    symptom: string
    isOpen: boolean
    /** What was found on this joint; null where it was not named. */
    causes: readonly string[] | null
  }[]
  entries: readonly { id: string; number: number; what: string; who: string; at: number; hash: string }[]
  mayTakeIn: boolean
}

const TONE_OUTCOME: Record<Statement['tone'], FindingOutcome | null> = {
  plain: null,
  good: 'met',
  open: 'open',
  bad: 'failed',
}

const STATE_WORDS: Record<InstrumentThen['state'], string> = {
  confirmed: 'Confirmed on the day',
  'found-in-tolerance-since': 'Not confirmed on the day, found in tolerance since',
  recalled: 'Confirmed on the day, found off since',
  'never-calibrated': 'Never checked before it was used here',
  'out-of-date': 'Its last check was too old',
  'out-of-tolerance': 'Known to be out of tolerance',
  'not-asked': 'No check is asked of its kind',
}
const STATE_OUTCOME: Record<InstrumentThen['state'], FindingOutcome> = {
  confirmed: 'met',
  'found-in-tolerance-since': 'met',
  recalled: 'failed',
  'never-calibrated': 'open',
  'out-of-date': 'open',
  'out-of-tolerance': 'failed',
  'not-asked': 'not-applicable',
}

const anchorOf = (about: string) => `#e-${about}`
const idOf = (about: string) => `e-${about}`

export function JointHistoryPage(props: JointHistoryProps): JSX.Element {
  const { joint, system, site } = props
  return (
    <Layout {...props.shell} title={`History of joint ${joint.tag}`}>
      <h1>
        Joint <Tag tag={joint.tag} />: history
      </h1>
      <p class="lead">{joint.lead}</p>
      <p>
        <a href={`/systems/${system.id}`}>{system.name}</a>,{' '}
        <a href={`/sites/${site.id}`}>{site.customerName}</a>, {site.address}
      </p>
      <div id="e-place">
        <PipeStrip {...props.strip} />
      </div>
      <InShort {...props} />
      <p class="actions">
        {props.mayTakeIn ? (
          <a class="button other" href={`/callbacks/new?system=${system.id}`}>
            Take in a callback
          </a>
        ) : null}
        <a class="button other" href={`/joints/${joint.id}`}>
          Its page
        </a>
        <a class="button other" href={`/systems/${system.id}/history`}>
          History of the system
        </a>
      </p>
      {props.makings.map((making) => (
        <section
          key={making.id}
          class="sheet history"
          id={idOf(making.id)}
          aria-labelledby={`h-${making.id}`}
        >
          <h2 id={`h-${making.id}`}>
            Making {making.number}
            {making.isCurrent ? (props.makings.length > 1 ? ', the one that counts' : '') : ', replaced'}
          </h2>
          <p class="soft">
            <When at={making.at} />, {making.who}; <a href={`/jobs/${making.job}`}>on this job</a>
          </p>
          {making.isCurrent ? null : <p>Replaced: {making.replaced ?? 'no reason was given'}</p>}
          <StepList steps={making.steps} label={`Steps of making ${making.number}`} />
        </section>
      ))}
      {props.checks.length === 0 ? null : (
        <section class="sheet history" aria-labelledby="checks">
          <h2 id="checks">Leak checks outside a making</h2>
          <StepList steps={props.checks} label="Leak checks outside a making" />
        </section>
      )}
      <Instruments {...props} />
      <Tests {...props} />
      <Photos {...props.photos} />
      <Corrections {...props} />
      <Callbacks {...props} />
      <Entries {...props} />
    </Layout>
  )
}

function InShort({ summary, unknown, people }: JointHistoryProps): JSX.Element {
  const when = useWhen()
  const sayings: Sayings = {
    day: (at) => when({ at, show: 'day' }),
    person: (crewId) => people[crewId] ?? 'somebody',
  }
  return (
    <section class="sheet" aria-labelledby="in-short">
      <h2 id="in-short">In short</h2>
      <ul class="in-short">
        {summary.map((said) => {
          const outcome = TONE_OUTCOME[said.tone]
          return (
            <li key={`${said.says} ${said.about}`}>
              {outcome === null ? null : <OutcomeMark outcome={outcome} />}
              <a href={anchorOf(said.about)}>{sentenceOf(said, sayings)}</a>
            </li>
          )
        })}
      </ul>
      <h3>Not known</h3>
      {unknown.length === 0 ? (
        <p class="soft">Nothing is missing that the record asks for.</p>
      ) : (
        <ul class="in-short">
          {unknown.map((one) => {
            const words = unknownWords(one, sayings)
            return (
              <li key={words}>{one.about === null ? words : <a href={anchorOf(one.about)}>{words}</a>}</li>
            )
          })}
        </ul>
      )}
    </section>
  )
}

function StepList({ steps, label }: { steps: readonly HistoryStep[]; label: string }): JSX.Element {
  if (steps.length === 0) return <p class="soft">No step of it is recorded.</p>
  return (
    <ol class="history-steps" aria-label={label}>
      {steps.map((step) => (
        <li key={step.id} id={idOf(step.id)}>
          <p>
            {step.outcome === undefined ? null : <OutcomeMark outcome={step.outcome} />}{' '}
            <b>{STEP_TITLES[step.kind]}</b> {step.judged === null ? step.summary : null}
          </p>
          {step.judged === null ? null : <JudgedNumber {...step.judged} />}
          {step.judged !== null && step.kind === 'inspection' ? <p>{step.summary}</p> : null}
          {step.remarks.map((remark) => (
            <p key={remark}>{remark}</p>
          ))}
          <p class="soft">
            {step.who}, <When at={step.at} />
            {step.instrument === null ? null : (
              <>
                , with <a href={anchorOf(step.instrument.id)}>{step.instrument.name}</a>
              </>
            )}
            {step.entry === null ? null : (
              <>
                {' '}
                (entry {step.entry}
                {Math.abs(step.recordedAt - step.at) < 60_000 ? null : (
                  <>
                    , entered <When at={step.recordedAt} />
                  </>
                )}
                {step.deviceAt === null ? null : (
                  <>
                    , <When at={step.deviceAt} /> by the phone’s clock
                  </>
                )}
                )
              </>
            )}
          </p>
          {step.notes.length === 0 ? null : <CorrectionNotes notes={step.notes} />}
        </li>
      ))}
    </ol>
  )
}

const USE_WORDS: Record<InstrumentThen['usedFor'][number]['what'], string> = {
  ...STEP_TITLES,
  'pressure-test': 'Pressure test',
  evacuation: 'Evacuation',
}

function Instruments({ instruments }: JointHistoryProps): JSX.Element | null {
  if (instruments.length === 0) return null
  return (
    <section class="sheet history" aria-labelledby="instruments">
      <h2 id="instruments">Instruments, on that day and since</h2>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">Instrument</th>
            <th scope="col">Used for</th>
            <th scope="col">On that day</th>
            <th scope="col">Since</th>
          </tr>
        </thead>
        <tbody>
          {instruments.map((one) => (
            <tr key={one.id} id={idOf(one.id)}>
              <th scope="row">
                <a href={`/instruments/${one.id}`}>{one.name}</a>, {one.serial}
              </th>
              <td data-label="Used for">
                {[...new Set(one.usedFor.map(({ what }) => USE_WORDS[what]))].join(', ')}
              </td>
              <td data-label="On that day">
                <OutcomeMark outcome={STATE_OUTCOME[one.state]} /> {STATE_WORDS[one.state]}
                {one.standing === null ? null : (
                  <span class="soft">
                    {' '}
                    (<When at={one.standing.at} show="day" />:{' '}
                    {RESULT_WORDS[one.standing.result].toLowerCase()}
                    {one.standing.reference === null ? '' : `, ${one.standing.reference}`})
                  </span>
                )}
              </td>
              <td data-label="Since">
                {one.since.length === 0
                  ? 'not checked'
                  : one.since.map((check) => (
                      <span key={check.id} class="line">
                        <When at={check.at} show="day" />: {RESULT_WORDS[check.result].toLowerCase()}
                      </span>
                    ))}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function Tests({ tests }: JointHistoryProps): JSX.Element {
  return (
    <section class="sheet history" aria-labelledby="tests">
      <h2 id="tests">Tests that covered it</h2>
      {tests.length === 0 ? <p class="soft">None.</p> : null}
      <ul class="rows">
        {tests.map((test) => (
          <li key={test.id} id={idOf(test.id)}>
            <p>
              <OutcomeMark outcome={test.outcome} />{' '}
              <a href={`/${test.kind === 'pressure' ? 'pressure-tests' : 'evacuations'}/${test.id}`}>
                {test.kind === 'pressure' ? 'Pressure test' : 'Evacuation'}, <When at={test.at} />
              </a>
              : it {verdictWords(test.today)}
              {test.today === null ? '' : ` over ${Math.round(test.holdS / 60)} min`}
              {test.atItsEnd === null || test.atItsEnd === test.today
                ? ''
                : ` (at its end: it ${verdictWords(test.atItsEnd)})`}
              <span class="soft">, {test.who}</span>
            </p>
            <p>
              {test.seenKgPerYear === null
                ? 'How small a leak it could have seen can’t be told.'
                : `It could have seen a leak of ${gramsAYear(test.seenKgPerYear)} or more, anywhere in what was tested; a smaller one it could not.`}
            </p>
            {test.stale === null ? null : <p>It no longer speaks for this joint: {test.stale}</p>}
            {test.reasons.length === 0 ? null : (
              <ul class="soft">
                {test.reasons.map((reason) => (
                  <li key={reason}>{reason}</li>
                ))}
              </ul>
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}

function Corrections({ corrections }: JointHistoryProps): JSX.Element | null {
  if (corrections.length === 0) return null
  return (
    <section class="sheet" id="e-corrections" aria-labelledby="corrections">
      <h2 id="corrections">Corrections</h2>
      <ul class="rows">
        {corrections.map((one) => (
          <li key={one.id}>
            <s>{one.before}</s> → {one.after}
            <p class="soft">
              “{one.reason}” ({one.who}).{' '}
              {one.state === 'waiting'
                ? 'It waits for a manager.'
                : one.state === 'accepted'
                  ? 'It counts.'
                  : 'It was refused; what was there before counts.'}
            </p>
          </li>
        ))}
      </ul>
    </section>
  )
}

function Callbacks({ callbacks }: JointHistoryProps): JSX.Element {
  return (
    <section class="sheet" id="e-callbacks" aria-labelledby="callbacks">
      <h2 id="callbacks">Callbacks of its system</h2>
      {callbacks.length === 0 ? <p class="soft">None.</p> : null}
      <ul class="rows">
        {callbacks.map((one) => (
          <li key={one.id} id={idOf(one.id)}>
            <a href={`/callbacks/${one.id}`}>
              <When at={one.at} show="day" />
            </a>
            {one.isOpen ? ', open' : ''}: “{one.symptom}”.{' '}
            {one.causes === null ? (
              <span class="soft">This joint was not named.</span>
            ) : (
              <b>This joint leaked: {one.causes.map(causeWords).join(', ')}.</b>
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}

function Entries({ entries, joint }: JointHistoryProps): JSX.Element {
  return (
    <details class="sheet">
      <summary>
        {entries.length} entries of the record are about joint {joint.tag}
      </summary>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">Entry</th>
            <th scope="col">What</th>
            <th scope="col">By</th>
            <th scope="col">When</th>
            <th scope="col">Hash</th>
          </tr>
        </thead>
        <tbody>
          {entries.map((entry) => (
            <tr key={entry.id}>
              <th scope="row">{entry.number}</th>
              <td data-label="What">{entry.what}</td>
              <td data-label="By">{entry.who}</td>
              <td data-label="When">
                <When at={entry.at} />
              </td>
              <td data-label="Hash">
                <code>{entry.hash.slice(0, 12)}</code>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  )
}
