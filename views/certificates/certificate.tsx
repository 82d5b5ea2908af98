// What was released, by whom, and on what does it rest? A certificate as members read it.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Caution, type Harm } from '../parts/caution.tsx'
import { DecayPlot, type DecayPlotProps } from '../parts/decay-plot.tsx'
import { Facts, type FactsProps } from '../parts/facts.tsx'
import { type FindingItem, FindingList } from '../parts/finding-list.tsx'
import { Flash } from '../parts/flash.tsx'
import { JudgedNumber, type JudgedNumberProps } from '../parts/judged-number.tsx'
import { PipeStrip, type PipeStripProps } from '../parts/pipe-strip.tsx'
import { PressurePlot, type PressurePlotProps } from '../parts/pressure-plot.tsx'
import { Tag } from '../parts/tag.tsx'

export interface CertifiedJointRow {
  id: string
  tag: string
  place: string
  kind: string
  tube: string
  making: string
  by: string
  torque: JudgedNumberProps | null
  /** Where there is no number: "not measured", "no nut". */
  noTorque: string
  accepted: string
  leakCheck: string
}

export interface CertifiedTestBlock {
  id: string
  title: string
  href: string
  facts: FactsProps['facts']
  pressure?: PressurePlotProps | undefined
  decay?: DecayPlotProps | undefined
}

export interface CertifiedSystemBlock {
  id: string
  name: string
  refrigerant: string
  facts: FactsProps['facts']
  strip: PipeStripProps
  joints: readonly CertifiedJointRow[]
  tests: readonly CertifiedTestBlock[]
  repeats: readonly string[]
  refrigerantFacts: FactsProps['facts']
}

export interface CertificatePageProps {
  shell: Shell
  code: string
  revision: number
  state: 'genuine' | 'altered' | 'superseded' | 'recalled' | 'unknown-key'
  faults: readonly string[]
  /** What came after it was issued, each in a sentence. */
  since: readonly string[]
  hrefs: { pdf: string; json: string; verify: string; job: string }
  facts: FactsProps['facts']
  systems: readonly CertifiedSystemBlock[]
  findings: readonly FindingItem[]
  concessions: readonly { id: string; what: string; reason: string; by: string }[]
  looser: readonly string[]
  instruments: readonly {
    id: string
    kind: string
    name: string
    serial: string
    confirmed: string
    due: string
  }[]
  cautions: readonly { harm: Harm; words: string }[]
  statements: readonly string[]
  record: readonly string[]
}

const states = (): Record<
  CertificatePageProps['state'],
  { kind: 'done' | 'needs-you' | 'refused'; lead: string; words: string }
> => ({
  genuine: { kind: 'done', lead: say.certificates.genuine, words: say.certificates.theRecordBehindIt },
  altered: { kind: 'refused', lead: say.certificates.altered, words: say.certificates.theRecordBehindItIs },
  superseded: {
    kind: 'needs-you',
    lead: say.certificates.superseded,
    words: say.certificates.theJobWasOpened,
  },
  recalled: {
    kind: 'needs-you',
    lead: say.certificates.underRecall,
    words: say.certificates.anInstrumentThatThis,
  },
  'unknown-key': {
    kind: 'refused',
    lead: say.certificates.cannotBeChecked,
    words: say.certificates.theKeyThatSigned,
  },
})

export function CertificatePage(props: CertificatePageProps): JSX.Element {
  const state = states()[props.state]
  return (
    <Layout
      {...props.shell}
      title={say.certificates.certificate(props.code)}
      flash={
        <Flash kind={state.kind} lead={state.lead}>
          {state.words} {[...props.faults, ...props.since].join(' ')}
        </Flash>
      }
    >
      <h1>{say.certificates.certificate(props.code)}</h1>
      <p class="lead">{say.certificates.revisionAStatementBy(props.revision)}</p>
      <p class="actions">
        <a class="button do" href={props.hrefs.pdf}>
          {say.certificates.paperPdf}
        </a>
        <a class="button other" href={props.hrefs.json}>
          {say.certificates.signedCopyJson}
        </a>
        <a class="button other" href={props.hrefs.verify}>
          {say.certificates.whatThePublicSees}
        </a>
        <a class="button other" href={props.hrefs.job}>
          {say.certificates.toTheJob}
        </a>
      </p>
      <Facts facts={props.facts} />
      {props.systems.map((system) => (
        <SystemPart key={system.id} system={system} />
      ))}
      <section aria-labelledby="judged">
        <h2 id="judged">{say.certificates.whatWasJudged}</h2>
        <FindingList findings={props.findings} />
      </section>
      <section aria-labelledby="concessions">
        <h2 id="concessions">{say.certificates.concessions}</h2>
        {props.concessions.length === 0 ? <p>{say.certificates.none}</p> : null}
        {props.concessions.map((concession) => (
          <p key={concession.id}>
            <b>{concession.what}</b> {concession.reason} <span class="soft">{concession.by}</span>
          </p>
        ))}
        <h3>{say.certificates.criteriaLooserThanThe}</h3>
        {props.looser.length === 0 ? (
          <p>{say.certificates.none}</p>
        ) : (
          <ul>
            {props.looser.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        )}
      </section>
      <Instruments instruments={props.instruments} />
      <section aria-labelledby="says">
        <h2 id="says">{say.certificates.whatItSaysAnd}</h2>
        <ul>
          {props.statements.map((statement) => (
            <li key={statement}>{statement}</li>
          ))}
        </ul>
        {props.cautions.map((caution, index) => (
          <Caution key={caution.harm} harm={caution.harm} comesFirst={index === props.cautions.length - 1}>
            {caution.words}
          </Caution>
        ))}
        <details>
          <summary>
            <span>{say.certificates.whatWasSigned}</span>
          </summary>
          <ul class="digests">
            {props.record.map((line) => (
              <li key={line}>
                <code>{line}</code>
              </li>
            ))}
          </ul>
        </details>
      </section>
    </Layout>
  )
}

function SystemPart({ system }: { system: CertifiedSystemBlock }): JSX.Element {
  return (
    <section aria-labelledby={`system-${system.id}`}>
      <h2 id={`system-${system.id}`}>
        {system.name}, {system.refrigerant}
      </h2>
      <Facts facts={system.facts} />
      <PipeStrip {...system.strip} />
      <h3>{say.certificates.joints}</h3>
      <ul class="certified-joints">
        {system.joints.map((joint) => (
          <li key={joint.id}>
            <p>
              <Tag tag={joint.tag} href={`/joints/${joint.id}`} /> {joint.place}, {joint.tube}
              <br />
              <span class="soft">
                {[joint.kind, joint.making, joint.by].filter((one) => one !== '').join(', ')}
              </span>
            </p>
            {joint.torque === null ? (
              <p class="soft">{say.certificates.torque(joint.noTorque)}</p>
            ) : (
              <JudgedNumber {...joint.torque} />
            )}
            <p>{[joint.accepted, joint.leakCheck].filter((one) => one !== '').join('; ')}</p>
          </li>
        ))}
      </ul>
      {system.tests.map((test) => (
        <section key={test.id} aria-labelledby={`test-${test.id}`}>
          <h3 id={`test-${test.id}`}>
            <a href={test.href}>{test.title}</a>
          </h3>
          <div class="two even">
            <Facts facts={test.facts} />
            {test.pressure === undefined ? null : <PressurePlot {...test.pressure} />}
            {test.decay === undefined ? null : <DecayPlot {...test.decay} />}
          </div>
        </section>
      ))}
      {system.repeats.map((repeat) => (
        <p key={repeat}>
          <b>{repeat}</b>
        </p>
      ))}
      <h3>{say.certificates.refrigerant}</h3>
      <Facts facts={system.refrigerantFacts} />
    </section>
  )
}

function Instruments({ instruments }: Pick<CertificatePageProps, 'instruments'>): JSX.Element | null {
  if (instruments.length === 0) return null
  return (
    <section aria-labelledby="instruments">
      <h2 id="instruments">{say.certificates.instrumentsAndTools}</h2>
      <div class="table-scroll">
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{say.certificates.name}</th>
              <th scope="col">{say.certificates.kind}</th>
              <th scope="col">{say.certificates.serial}</th>
              <th scope="col">{say.certificates.confirmed}</th>
              <th scope="col">{say.certificates.nextDue}</th>
            </tr>
          </thead>
          <tbody>
            {instruments.map((instrument) => (
              <tr key={instrument.id}>
                <th scope="row">
                  <a href={`/instruments/${instrument.id}`}>{instrument.name}</a>
                </th>
                <td data-label={say.certificates.kind}>{instrument.kind}</td>
                <td data-label={say.certificates.serial}>{instrument.serial}</td>
                <td data-label={say.certificates.confirmed}>{instrument.confirmed}</td>
                <td data-label={say.certificates.nextDue}>{instrument.due}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}
