// What do we know of this joint, and what not? Everything on one page, in short first, each sentence with the entry it rests on.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { InstrumentThen, Statement, Unknown } from '../../server/rules/joint-history.ts'
import type { StepKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { causeWords } from '../callbacks/words.ts'
import { type CorrectionNote, CorrectionNotes } from '../corrections/form.tsx'
import { resultWords } from '../instruments/words.ts'
import { Layout } from '../layout.tsx'
import { JudgedNumber, type JudgedNumberProps } from '../parts/judged-number.tsx'
import { type FindingOutcome, OutcomeMark } from '../parts/mark.tsx'
import { Photos, type PhotosProps } from '../parts/photos.tsx'
import { PipeStrip, type PipeStripProps } from '../parts/pipe-strip.tsx'
import { Tag } from '../parts/tag.tsx'
import { useWhen, When } from '../parts/when.tsx'
import { gramsAYear, type Sayings, sentenceOf, unknownWords, verdictWords } from './history-words.ts'
import { stepTitles } from './step-words.ts'

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

const stateWords = (): Record<InstrumentThen['state'], string> => ({
  confirmed: say.joints.confirmedOnTheDay,
  'found-in-tolerance-since': say.joints.notConfirmedOnThe,
  recalled: say.joints.confirmedOnTheDayFound,
  'never-calibrated': say.joints.neverCheckedBeforeIt,
  'out-of-date': say.joints.itsLastCheckWas,
  'out-of-tolerance': say.joints.knownToBeOut,
  'not-asked': say.joints.noCheckIsAsked,
})
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
    <Layout {...props.shell} title={say.joints.historyOfJoint(joint.tag)}>
      <h1>{say.joints.jointHistory(<Tag tag={joint.tag} />)}</h1>
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
            {say.joints.takeInACallback}
          </a>
        ) : null}
        <a class="button other" href={`/joints/${joint.id}`}>
          {say.joints.itsPage}
        </a>
        <a class="button other" href={`/systems/${system.id}/history`}>
          {say.joints.historyOfTheSystem}
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
            {say.joints.making3(
              making.number,
              making.isCurrent
                ? props.makings.length > 1
                  ? say.joints.theOneThatCounts2
                  : ''
                : say.joints.replaced,
            )}
          </h2>
          <p class="soft">
            <When at={making.at} />, {making.who}; <a href={`/jobs/${making.job}`}>{say.joints.onThisJob}</a>
          </p>
          {making.isCurrent ? null : (
            <p>{say.joints.replaced2(making.replaced ?? say.joints.noReasonWasGiven)}</p>
          )}
          <StepList steps={making.steps} label={say.joints.stepsOfMaking(making.number)} />
        </section>
      ))}
      {props.checks.length === 0 ? null : (
        <section class="sheet history" aria-labelledby="checks">
          <h2 id="checks">{say.joints.leakChecksOutsideA}</h2>
          <StepList steps={props.checks} label={say.joints.leakChecksOutsideA} />
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
      <h2 id="in-short">{say.joints.inShort}</h2>
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
      <h3>{say.joints.notKnown}</h3>
      {unknown.length === 0 ? (
        <p class="soft">{say.joints.nothingIsMissingThat}</p>
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
  if (steps.length === 0) return <p class="soft">{say.joints.noStepOfIt}</p>
  return (
    <ol class="history-steps" aria-label={label}>
      {steps.map((step) => (
        <li key={step.id} id={idOf(step.id)}>
          <p>
            {step.outcome === undefined ? null : <OutcomeMark outcome={step.outcome} />}{' '}
            <b>{stepTitles()[step.kind]}</b> {step.judged === null ? step.summary : null}
          </p>
          {step.judged === null ? null : <JudgedNumber {...step.judged} />}
          {step.judged !== null && step.kind === 'inspection' ? <p>{step.summary}</p> : null}
          {step.remarks.map((remark) => (
            <p key={remark}>{remark}</p>
          ))}
          <p class="soft">
            {step.who}, <When at={step.at} />
            {step.instrument === null
              ? null
              : say.joints.withWord3(<a href={anchorOf(step.instrument.id)}>{step.instrument.name}</a>)}
            {step.entry === null ? null : (
              <>
                {' '}
                {say.joints.entry(
                  step.entry,
                  Math.abs(step.recordedAt - step.at) < 60_000
                    ? null
                    : say.joints.entered(<When at={step.recordedAt} />),
                  step.deviceAt === null ? null : say.joints.byThePhonesClock(<When at={step.deviceAt} />),
                )}
              </>
            )}
          </p>
          {step.notes.length === 0 ? null : <CorrectionNotes notes={step.notes} />}
        </li>
      ))}
    </ol>
  )
}

const useWords = (): Record<InstrumentThen['usedFor'][number]['what'], string> => ({
  ...stepTitles(),
  'pressure-test': say.joints.pressureTest2,
  evacuation: say.joints.evacuation2,
})

function Instruments({ instruments }: JointHistoryProps): JSX.Element | null {
  if (instruments.length === 0) return null
  return (
    <section class="sheet history" aria-labelledby="instruments">
      <h2 id="instruments">{say.joints.instrumentsOnThatDay}</h2>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">{say.joints.instrument}</th>
            <th scope="col">{say.joints.usedFor}</th>
            <th scope="col">{say.joints.onThatDay}</th>
            <th scope="col">{say.joints.since}</th>
          </tr>
        </thead>
        <tbody>
          {instruments.map((one) => (
            <tr key={one.id} id={idOf(one.id)}>
              <th scope="row">
                <a href={`/instruments/${one.id}`}>{one.name}</a>, {one.serial}
              </th>
              <td data-label={say.joints.usedFor}>
                {[...new Set(one.usedFor.map(({ what }) => useWords()[what]))].join(', ')}
              </td>
              <td data-label={say.joints.onThatDay}>
                <OutcomeMark outcome={STATE_OUTCOME[one.state]} /> {stateWords()[one.state]}
                {one.standing === null ? null : (
                  <span class="soft">
                    {' '}
                    (<When at={one.standing.at} show="day" />:{' '}
                    {resultWords()[one.standing.result].toLowerCase()}
                    {one.standing.reference === null ? '' : `, ${one.standing.reference}`})
                  </span>
                )}
              </td>
              <td data-label={say.joints.since}>
                {one.since.length === 0
                  ? say.joints.notChecked2
                  : one.since.map((check) => (
                      <span key={check.id} class="line">
                        <When at={check.at} show="day" />: {resultWords()[check.result].toLowerCase()}
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
      <h2 id="tests">{say.joints.testsThatCoveredIt}</h2>
      {tests.length === 0 ? <p class="soft">{say.joints.none2}</p> : null}
      <ul class="rows">
        {tests.map((test) => (
          <li key={test.id} id={idOf(test.id)}>
            <p>
              <OutcomeMark outcome={test.outcome} />{' '}
              {say.joints.it(
                <a href={`/${test.kind === 'pressure' ? 'pressure-tests' : 'evacuations'}/${test.id}`}>
                  {test.kind === 'pressure' ? say.joints.pressureTest2 : say.joints.evacuation2},{' '}
                  <When at={test.at} />
                </a>,
                verdictWords(test.today),
                test.today === null ? '' : say.joints.overMin(Math.round(test.holdS / 60)),
                test.atItsEnd === null || test.atItsEnd === test.today
                  ? ''
                  : say.joints.atItsEndIt(verdictWords(test.atItsEnd)),
                <span class="soft">, {test.who}</span>,
              )}
            </p>
            <p>
              {test.seenKgPerYear === null
                ? say.joints.howSmallALeakIt
                : say.joints.itCouldHaveSeenA(gramsAYear(test.seenKgPerYear))}
            </p>
            {test.stale === null ? null : <p>{say.joints.itNoLongerSpeaks(test.stale)}</p>}
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
      <h2 id="corrections">{say.joints.corrections}</h2>
      <ul class="rows">
        {corrections.map((one) => (
          <li key={one.id}>
            <s>{one.before}</s> → {one.after}
            <p class="soft">
              “{one.reason}” ({one.who}).{' '}
              {one.state === 'waiting'
                ? say.joints.itWaitsForA
                : one.state === 'accepted'
                  ? say.joints.itCounts
                  : say.joints.itWasRefusedWhat}
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
      <h2 id="callbacks">{say.joints.callbacksOfItsSystem}</h2>
      {callbacks.length === 0 ? <p class="soft">{say.joints.none2}</p> : null}
      <ul class="rows">
        {callbacks.map((one) => (
          <li key={one.id} id={idOf(one.id)}>
            <a href={`/callbacks/${one.id}`}>
              <When at={one.at} show="day" />
            </a>
            {one.isOpen ? say.joints.open : ''}: “{one.symptom}”.{' '}
            {one.causes === null ? (
              <span class="soft">{say.joints.thisJointWasNot}</span>
            ) : (
              <b>{say.joints.thisJointLeaked(one.causes.map(causeWords).join(', '))}</b>
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
      <summary>{say.joints.entriesOfTheRecord(entries.length, joint.tag)}</summary>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">{say.joints.entry2}</th>
            <th scope="col">{say.joints.what}</th>
            <th scope="col">{say.joints.by}</th>
            <th scope="col">{say.joints.when}</th>
            <th scope="col">{say.joints.hash}</th>
          </tr>
        </thead>
        <tbody>
          {entries.map((entry) => (
            <tr key={entry.id}>
              <th scope="row">{entry.number}</th>
              <td data-label={say.joints.what}>{entry.what}</td>
              <td data-label={say.joints.by}>{entry.who}</td>
              <td data-label={say.joints.when}>
                <When at={entry.at} />
              </td>
              <td data-label={say.joints.hash}>
                <code class="hash">{entry.hash}</code>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  )
}
