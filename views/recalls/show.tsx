// What rests on the instrument that was found off, what does each come to, and what was done about it?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { RecallDisposition, RecallJudgementWord } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts } from '../parts/facts.tsx'
import { AreaField, ChoiceField, type FormState, OtherErrors } from '../parts/field.tsx'
import { OutcomeMark } from '../parts/mark.tsx'
import { When } from '../parts/when.tsx'
import { dispositionWords, theGroups } from './words.ts'

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
    <Layout {...props.shell} title={say.recalls.recall(instrument.name)}>
      <h1>{say.recalls.recall(instrument.name)}</h1>
      <p class="lead">
        {say.recalls.serialOnItWas(instrument.serial, <When at={found.at} show="day" />, found.words)}
      </p>
      <Facts
        facts={[
          {
            label: say.recalls.inDoubt,
            value:
              props.since === null
                ? say.recalls.everyUseBeforeNo
                : say.recalls.everyUseSinceIts(<When at={props.since} show="day" />),
          },
          {
            label: say.recalls.restOnIt,
            value: `${total === 1 ? say.recalls.aRecord : say.recalls.countedRecords(total)}: ${theGroups()
              .map(({ judgement, title }) => `${groups[judgement].count} ${title.toLowerCase()}`)
              .join(', ')}`,
            note: props.gone > 0 ? say.recalls.moreWereMadeAgain(props.gone) : undefined,
          },
          { label: say.recalls.howItStands, value: <Standing recall={recall} /> },
          ...(found.reference === null ? [] : [{ label: say.recalls.foundBy, value: found.reference }]),
        ]}
      />
      <p>
        <a href={`/instruments/${instrument.id}`}>{say.recalls.theInstrumentAndIts}</a>
      </p>
      <OpenIt {...props} />
      <Decide {...props} />
      <CloseIt {...props} />
    </Layout>
  )
}

function Standing({ recall }: Pick<RecallPageProps, 'recall'>): JSX.Element {
  if (recall === null) return <>{say.recalls.notOpenedYet}</>
  if (recall.closedAt !== null) return <>{say.recalls.closedOn(<When at={recall.closedAt} show="day" />)}</>
  return (
    <>
      {say.recalls.openSince(
        <When at={recall.openedAt} show="day" />,
        recall.undecided === 0 ? say.recalls.everythingIsSettled : say.recalls.toSettle(recall.undecided),
      )}
    </>
  )
}

function OpenIt(props: RecallPageProps): JSX.Element | null {
  if (props.recall !== null || !props.mayDecide) return null
  return (
    <form method="post" action={`/instruments/${props.instrument.id}/recall`} class="sheet">
      <h2>{say.recalls.openTheRecall}</h2>
      <OtherErrors form={props.form} fields={[]} />
      <p>{say.recalls.fromThenOnCertificates}</p>
      <input type="hidden" name="id" value={props.freshId} />
      <Button>{say.recalls.openTheRecall}</Button>
    </form>
  )
}

function Decide(props: RecallPageProps): JSX.Element {
  const { recall, mayDecide } = props
  const open = recall !== null && recall.closedAt === null && mayDecide && recall.undecided > 0
  const tables = theGroups().map((group) => (
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
          <h2>{say.recalls.haveItLookedAt}</h2>
          <p>
            {say.recalls.opensAMaintenanceJob(
              recall.withoutJob === 1 ? say.recalls.oneRecord : say.recalls.records2(recall.withoutJob),
            )}
          </p>
          <Button kind="other">{say.recalls.openTheFollowUp}</Button>
        </form>
      )}
      <form method="post" action={`/recalls/${recall.id}/decisions`}>
        {tables}
        <section class="sheet" aria-labelledby="settle">
          <h2 id="settle">{say.recalls.settleWhatIsMarked}</h2>
          <OtherErrors form={props.form} fields={['disposition', 'note']} />
          <ChoiceField
            name="disposition"
            label={say.recalls.whatWasDone}
            form={props.form}
            options={[
              { value: 'put-right', label: dispositionWords()['put-right'] },
              { value: 'left-as-is', label: dispositionWords()['left-as-is'] },
            ]}
            required
          />
          <AreaField name="note" label={say.recalls.howOrWhy} form={props.form} required />
          <Button>{say.recalls.settleThem}</Button>
        </section>
      </form>
    </>
  )
}

function Group(
  props: ReturnType<typeof theGroups>[number] & RecallPageProps['groups'][RecallJudgementWord] & Choice,
): JSX.Element | null {
  const { judgement, title, lead, outcome, count, jobs, lines } = props
  if (count === 0) return null
  const table = <Lines lines={lines} choose={props.choose} form={props.form} />
  return (
    <section class="sheet" aria-labelledby={`group-${judgement}`}>
      <h2 id={`group-${judgement}`} class="standing">
        <OutcomeMark outcome={outcome} /> {title} ({count})
      </h2>
      <p class="soft">{say.recalls.on(lead, jobs === 1 ? say.recalls.oneJob : say.recalls.jobs(jobs))}</p>
      {judgement === 'stands' ? (
        <details>
          <summary>{say.recalls.showThem}</summary>
          {table}
        </details>
      ) : (
        table
      )}
      {lines.length < count ? <p class="soft">{say.recalls.theFirstOfAre(lines.length, count)}</p> : null}
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
          <th scope="col">{say.recalls.what}</th>
          <th scope="col">{say.recalls.where}</th>
          <th scope="col">{say.recalls.shown}</th>
          <th scope="col">{say.recalls.was}</th>
          <th scope="col">{say.recalls.so}</th>
          <th scope="col">{say.recalls.settled}</th>
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
              <td data-label={say.recalls.where}>
                {line.joint === null ? null : (
                  <>
                    <a href={line.joint.href}>{line.joint.tag}</a>, {line.joint.place},{' '}
                  </>
                )}
                {line.systemName}, {line.customerName}. <a href={line.job.href}>{line.job.label}</a>
              </td>
              <td data-label={say.recalls.shown} class="figure">
                {line.shown ?? '–'}
              </td>
              <td data-label={say.recalls.was} class="figure">
                {line.real ?? '–'}
              </td>
              <td>{line.reason}</td>
              <td data-label={say.recalls.settled}>
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
  if (settled === null) return <span class="soft">{say.recalls.notYet}</span>
  return (
    <>
      {dispositionWords()[settled.disposition]}
      {settled.jobHref === null ? null : (
        <>
          : <a href={settled.jobHref}>{say.recalls.theJob}</a>
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
      <h2>{say.recalls.closeIt}</h2>
      <p>{say.recalls.everyRecordIsSettled}</p>
      <Button>{say.recalls.closeTheRecall}</Button>
    </form>
  )
}
