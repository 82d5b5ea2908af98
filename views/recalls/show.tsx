// What rests on the instrument that was found off, what does each come to, and what was done about it?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { RecallDisposition, RecallJudgementWord } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts } from '../parts/facts.tsx'
import { AreaField, ChoiceField, type FormState, OtherErrors } from '../parts/field.tsx'
import { OutcomeMark } from '../parts/mark.tsx'
import { When } from '../parts/when.tsx'
import { DISPOSITION_WORDS, GROUPS } from './words.ts'

export interface RecordLine {
  evidenceId: string
  /** "Torque", "Pressure test". */
  what: string
  joint: { tag: string; place: string; href: string } | null
  customerName: string
  systemName: string
  job: { href: string; label: string }
  performedAt: number
  /** In words with the unit. */
  shown: string | null
  real: string | null
  reason: string
  /** Null until the recall is open and something was said. */
  settled: {
    disposition: RecallDisposition
    note: string | null
    jobHref: string | null
    decided: boolean
  } | null
}

export interface RecallPageProps {
  shell: Shell
  instrument: { id: string; name: string; serial: string }
  found: { at: number; words: string; reference: string | null }
  /** The last good check before; null where there is none. */
  since: number | null
  groups: Record<RecallJudgementWord, { count: number; jobs: number; lines: readonly RecordLine[] }>
  /** Null until it is opened. */
  recall: {
    id: string
    openedAt: number
    closedAt: number | null
    undecided: number
    withoutJob: number
  } | null
  /** Under the recall, and superseded since: made again, corrected, out of service. */
  gone: number
  mayDecide: boolean
  /** For the form that opens it. */
  freshId: string
  form?: FormState | undefined
}

export function RecallPage(props: RecallPageProps): JSX.Element {
  const { instrument, found, recall, groups } = props
  const total = Object.values(groups).reduce((sum, group) => sum + group.count, 0)
  return (
    <Layout {...props.shell} title={`Recall: ${instrument.name}`}>
      <h1>Recall: {instrument.name}</h1>
      <p class="lead">
        Serial {instrument.serial}. On <When at={found.at} show="day" /> it was found off: it {found.words}.
      </p>
      <Facts
        facts={[
          {
            label: 'In doubt',
            value:
              props.since === null ? (
                'every use before; no good check is on record'
              ) : (
                <>
                  every use since <When at={props.since} show="day" />, its last good check
                </>
              ),
          },
          {
            label: 'Rest on it',
            value: `${total} ${total === 1 ? 'record' : 'records'}: ${GROUPS.map(
              ({ judgement, title }) => `${groups[judgement].count} ${title.toLowerCase()}`,
            ).join(', ')}`,
            note: props.gone > 0 ? `${props.gone} more were made again or corrected since.` : undefined,
          },
          { label: 'How it stands', value: <Standing recall={recall} /> },
          ...(found.reference === null ? [] : [{ label: 'Found by', value: found.reference }]),
        ]}
      />
      <p>
        <a href={`/instruments/${instrument.id}`}>The instrument and its checks</a>
      </p>
      <OpenIt {...props} />
      <Decide {...props} />
      <CloseIt {...props} />
    </Layout>
  )
}

function Standing({ recall }: Pick<RecallPageProps, 'recall'>): JSX.Element {
  if (recall === null) return <>Not opened yet.</>
  if (recall.closedAt !== null)
    return (
      <>
        Closed on <When at={recall.closedAt} show="day" />
      </>
    )
  return (
    <>
      Open since <When at={recall.openedAt} show="day" />;{' '}
      {recall.undecided === 0 ? 'everything is settled' : `${recall.undecided} to settle`}
    </>
  )
}

function OpenIt(props: RecallPageProps): JSX.Element | null {
  if (props.recall !== null || !props.mayDecide) return null
  return (
    <form method="post" action={`/instruments/${props.instrument.id}/recall`} class="sheet">
      <h2>Open the recall</h2>
      <OtherErrors form={props.form} fields={[]} />
      <p>
        From then on certificates that rest on what fails or is in doubt say so on their public page, until
        each record is settled.
      </p>
      <input type="hidden" name="id" value={props.freshId} />
      <Button>Open the recall</Button>
    </form>
  )
}

function Decide(props: RecallPageProps): JSX.Element {
  const { recall, mayDecide } = props
  const open = recall !== null && recall.closedAt === null && mayDecide && recall.undecided > 0
  const tables = GROUPS.map((group) => (
    <Group
      key={group.judgement}
      {...group}
      {...props.groups[group.judgement]}
      choose={open}
      form={props.form}
    />
  ))
  if (!open) return <>{tables}</>
  return (
    <>
      {recall.withoutJob === 0 ? null : (
        <form method="post" action={`/recalls/${recall.id}/follow-up-jobs`} class="sheet">
          <h2>Have it looked at</h2>
          <p>
            Opens a maintenance job at each site where something fails or is in doubt
            {recall.withoutJob === 1 ? ' (one record)' : ` (${recall.withoutJob} records)`}.
          </p>
          <Button kind="other">Open the follow-up jobs</Button>
        </form>
      )}
      <form method="post" action={`/recalls/${recall.id}/decisions`}>
        {tables}
        <section class="sheet" aria-labelledby="settle">
          <h2 id="settle">Settle what is marked</h2>
          <OtherErrors form={props.form} fields={['disposition', 'note']} />
          <ChoiceField
            name="disposition"
            label="What was done"
            form={props.form}
            options={[
              { value: 'put-right', label: DISPOSITION_WORDS['put-right'] },
              { value: 'left-as-is', label: DISPOSITION_WORDS['left-as-is'] },
            ]}
            required
          />
          <AreaField name="note" label="How, or why" form={props.form} required />
          <Button>Settle them</Button>
        </section>
      </form>
    </>
  )
}

function Group(
  props: (typeof GROUPS)[number] & RecallPageProps['groups'][RecallJudgementWord] & Choice,
): JSX.Element | null {
  const { judgement, title, lead, outcome, count, jobs, lines } = props
  if (count === 0) return null
  const table = <Lines lines={lines} choose={props.choose} form={props.form} />
  return (
    <section class="sheet" aria-labelledby={`group-${judgement}`}>
      <h2 id={`group-${judgement}`} class="standing">
        <OutcomeMark outcome={outcome} /> {title} ({count})
      </h2>
      <p class="soft">
        {lead} On {jobs === 1 ? 'one job' : `${jobs} jobs`}.
      </p>
      {judgement === 'stands' ? (
        <details>
          <summary>Show them</summary>
          {table}
        </details>
      ) : (
        table
      )}
      {lines.length < count ? (
        <p class="soft">
          The first {lines.length} of {count} are shown; settle these, then the next come up.
        </p>
      ) : null}
    </section>
  )
}

interface Choice {
  choose: boolean
  form: FormState | undefined
}

function Lines(props: Choice & { lines: readonly RecordLine[] }): JSX.Element {
  return (
    <table class="stack">
      <thead>
        <tr>
          <th scope="col">What</th>
          <th scope="col">Where</th>
          <th scope="col">Shown</th>
          <th scope="col">Was</th>
          <th scope="col">So</th>
          <th scope="col">Settled</th>
        </tr>
      </thead>
      <tbody>
        {props.lines.map((line) => {
          const name = line.joint === null ? line.what : `${line.what}, ${line.joint.tag}`
          return (
            <tr key={line.evidenceId}>
              <td>
                {props.choose && line.settled?.decided !== true ? (
                  <label class="choice">
                    <input
                      type="checkbox"
                      name={`_record.${line.evidenceId}`}
                      value="yes"
                      checked={props.form?.values[`_record.${line.evidenceId}`] === 'yes'}
                    />{' '}
                    {name}
                  </label>
                ) : (
                  name
                )}
                <br />
                <span class="soft">
                  <When at={line.performedAt} show="day" />
                </span>
              </td>
              <td data-label="Where">
                {line.joint === null ? null : (
                  <>
                    <a href={line.joint.href}>{line.joint.tag}</a>, {line.joint.place},{' '}
                  </>
                )}
                {line.systemName}, {line.customerName}. <a href={line.job.href}>{line.job.label}</a>
              </td>
              <td data-label="Shown" class="figure">
                {line.shown ?? '–'}
              </td>
              <td data-label="Was" class="figure">
                {line.real ?? '–'}
              </td>
              <td>{line.reason}</td>
              <td data-label="Settled">
                <Settled settled={line.settled} />
              </td>
            </tr>
          )
        })}
      </tbody>
    </table>
  )
}

function Settled({ settled }: Pick<RecordLine, 'settled'>): JSX.Element {
  if (settled === null) return <span class="soft">not yet</span>
  return (
    <>
      {DISPOSITION_WORDS[settled.disposition]}
      {settled.jobHref === null ? null : (
        <>
          : <a href={settled.jobHref}>the job</a>
        </>
      )}
      {settled.note === null ? null : <span class="soft">. {settled.note}</span>}
    </>
  )
}

function CloseIt({ recall, mayDecide }: RecallPageProps): JSX.Element | null {
  if (recall === null || recall.closedAt !== null || recall.undecided > 0 || !mayDecide) return null
  return (
    <form method="post" action={`/recalls/${recall.id}/close`} class="sheet">
      <h2>Close it</h2>
      <p>Every record is settled.</p>
      <Button>Close the recall</Button>
    </form>
  )
}
