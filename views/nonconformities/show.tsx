// What was not met here, by which numbers, and what became of it?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { JobStage } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Facts } from '../parts/facts.tsx'
import { type FindingItem, FindingList } from '../parts/finding-list.tsx'
import { Stage } from '../parts/stage.tsx'
import { When } from '../parts/when.tsx'
import type { NonconformityLine } from './index.tsx'

/** An entry of the record, and where it is told. */
export interface EvidenceLink {
  label: string
  href: string
  at: number
}

export interface NonconformityPageProps {
  shell: Shell
  line: NonconformityLine
  jobStage: JobStage
  finding: FindingItem
  policyVersion: number
  foundAfter: EvidenceLink | null
  disposal: { policyVersion: number; reason: string; after: EvidenceLink | null } | null
}

export function NonconformityPage(props: NonconformityPageProps): JSX.Element {
  const { line, disposal } = props
  return (
    <Layout {...props.shell} title={say.nonconformities.nonconformity}>
      <p>
        <a href="/nonconformities">{say.nonconformities.nonconformities}</a>
      </p>
      <h1>
        {line.title}: {line.subject}
      </h1>
      <section class="sheet" aria-labelledby="found">
        <h2 id="found">{say.nonconformities.asItWasFound}</h2>
        <FindingList findings={[props.finding]} level={3} />
        <Facts
          facts={[
            {
              label: say.nonconformities.found,
              value: say.nonconformities.foundOn(<When at={line.foundAt} />, line.foundBy),
            },
            ...(props.foundAfter === null
              ? []
              : [{ label: say.nonconformities.foundAfter, value: <Entry {...props.foundAfter} /> }]),
            {
              label: say.nonconformities.job,
              value: (
                <>
                  <a href={`/jobs/${line.job.id}`}>
                    {line.job.reference ?? say.nonconformities.aJobWithoutReference}
                  </a>{' '}
                  <Stage stage={props.jobStage} />
                </>
              ),
              note: `${line.site.customerName}, ${line.site.address}`,
            },
            {
              label: say.nonconformities.judgedBy,
              value: say.nonconformities.criteriaVersion(props.policyVersion),
            },
          ]}
        />
      </section>
      <section class="sheet" aria-labelledby="became">
        <h2 id="became">{say.nonconformities.became}</h2>
        {disposal === null || line.disposal === null ? (
          <p>{say.nonconformities.itIsOpen}</p>
        ) : (
          <Facts
            facts={[
              {
                label: say.nonconformities.howItStands,
                value: <b>{say.nonconformities.dispositions[line.disposal.disposition]}</b>,
                note: say.nonconformities.disposedOn(<When at={line.disposal.at} />, line.disposal.by),
              },
              ...(line.concession === null
                ? []
                : [{ label: say.nonconformities.reason, value: line.concession.reason }]),
              ...(line.concession?.conditions
                ? [{ label: say.nonconformities.conditions, value: line.concession.conditions }]
                : []),
              // What was conceded stands as it was found, and its reason above.
              ...(line.concession === null
                ? [
                    {
                      label: say.nonconformities.howItStoodThen,
                      value: disposal.reason === '' ? say.nonconformities.noMore : disposal.reason,
                    },
                  ]
                : []),
              {
                label: say.nonconformities.judgedThenBy,
                value: say.nonconformities.criteriaVersion(disposal.policyVersion),
              },
              ...(disposal.after === null
                ? []
                : [{ label: say.nonconformities.closedAfter, value: <Entry {...disposal.after} /> }]),
            ]}
          />
        )}
      </section>
    </Layout>
  )
}

const Entry = ({ label, href, at }: EvidenceLink): JSX.Element => (
  <>
    <a href={href}>{label}</a> <When at={at} />
  </>
)
