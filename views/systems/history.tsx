// What happened on this system, the newest first, and only the part that was asked for?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { HISTORY_TOPICS, type HistoryTopic } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts } from '../parts/facts.tsx'
import { SelectField, TextField } from '../parts/field.tsx'
import { Pager } from '../parts/pager.tsx'
import { PipeStrip, type PipeStripProps } from '../parts/pipe-strip.tsx'
import { Tag } from '../parts/tag.tsx'
import { When } from '../parts/when.tsx'
import { entryWords, topicWords } from './entry-words.ts'

export interface EntryLine {
  id: string
  number: number
  /** The first of a run of the same; else its own number. */
  from: number
  kind: string
  at: number
  who: string | null
  about: { href: string; label: string; isTag?: boolean | undefined } | undefined
  /** What it says, from the facts as they stand today. */
  says: readonly string[]
}

export interface SystemHistoryProps {
  shell: Shell
  system: { id: string; name: string }
  site: { id: string; customerName: string; address: string }
  strip: PipeStripProps | null
  units: readonly {
    id: string
    name: string
    model: string
    serial: string
    installedAt: number
    removedAt: number | null
  }[]
  counts: { joints: number; jobs: number; callbacks: number; open: number }
  /** As it stands in the address; empty where nothing was asked. */
  filter: { what: string; joint: string; from: string; to: string }
  joints: readonly { id: string; tag: string }[]
  entries: readonly EntryLine[]
  firstHref: string | undefined
  nextHref: string | undefined
  mayTakeIn: boolean
}

export function SystemHistoryPage(props: SystemHistoryProps): JSX.Element {
  const { system, site, counts, entries } = props
  return (
    <Layout {...props.shell} title={say.systems.historyOf(system.name)}>
      <h1>{say.systems.history2(system.name)}</h1>
      <p class="lead">
        <a href={`/sites/${site.id}`}>{site.customerName}</a>, {site.address}
      </p>
      {props.strip === null ? null : <PipeStrip {...props.strip} />}
      <Facts
        facts={[
          ...props.units.map((unit) => ({
            label: unit.name,
            value: `${unit.model}, ${unit.serial}`,
            note:
              unit.removedAt === null
                ? say.systems.since(<When at={unit.installedAt} show="day" />)
                : say.systems.fromTo(
                    <When at={unit.installedAt} show="day" />,
                    <When at={unit.removedAt} show="day" />,
                  ),
          })),
          { label: say.systems.joints, value: String(counts.joints) },
          { label: say.systems.jobs, value: String(counts.jobs) },
          {
            label: say.systems.callbacks,
            value:
              counts.open === 0 ? String(counts.callbacks) : say.systems.open(counts.callbacks, counts.open),
          },
        ]}
      />
      <p class="actions">
        {props.mayTakeIn ? (
          <a class="button other" href={`/callbacks/new?system=${system.id}`}>
            {say.systems.takeInACallback}
          </a>
        ) : null}
        {props.mayTakeIn ? (
          <a class="button other" href={`/systems/${system.id}/claim-packet`}>
            {say.claims.packet}
          </a>
        ) : null}
        <a class="button other" href={`/systems/${system.id}`}>
          {say.systems.itsPage}
        </a>
      </p>
      <Filter {...props} />
      {entries.length === 0 ? (
        <p class="soft">{say.systems.nothingWasEnteredThat}</p>
      ) : (
        <ol class="timeline" aria-label={say.systems.entriesTheNewestFirst}>
          {entries.map((entry) => (
            <Entry key={entry.id} entry={entry} />
          ))}
        </ol>
      )}
      <Pager of={say.systems.entries} firstHref={props.firstHref} nextHref={props.nextHref} />
    </Layout>
  )
}

const TOPICS = Object.keys(HISTORY_TOPICS) as HistoryTopic[]

function Filter({ system, filter, joints }: SystemHistoryProps): JSX.Element {
  const isAsked = Object.values(filter).some((value) => value !== '')
  return (
    <details class="sheet" open={isAsked}>
      <summary>{say.systems.onlyAPartOf}</summary>
      <form method="get" action={`/systems/${system.id}/history`}>
        <SelectField
          name="what"
          label={say.systems.what}
          value={filter.what}
          options={[
            { value: '', label: say.systems.everything },
            ...TOPICS.map((topic) => ({ value: topic, label: topicWords()[topic] })),
          ]}
        />
        <SelectField
          name="joint"
          label={say.systems.aboutTheJoint}
          value={filter.joint}
          options={[
            { value: '', label: say.systems.anyAndWhatIs },
            ...joints.map(({ id, tag }) => ({ value: id, label: tag })),
          ]}
        />
        <TextField name="from" label={say.systems.fromThisDay} type="date" value={filter.from} />
        <TextField name="to" label={say.systems.toThisDay} type="date" value={filter.to} />
        <Button kind="other">{say.systems.show}</Button>
        {isAsked ? (
          <p>
            <a href={`/systems/${system.id}/history`}>{say.systems.showEverything}</a>
          </p>
        ) : null}
      </form>
    </details>
  )
}

function Entry({ entry }: { entry: EntryLine }): JSX.Element {
  const { about } = entry
  return (
    <li id={`entry-${entry.number}`}>
      <span class="soft">
        <When at={entry.at} />
      </span>{' '}
      <b>{entryWords(entry.kind)}</b>
      {about === undefined ? null : (
        <>
          {', '}
          {about.isTag === true ? (
            <Tag tag={about.label} href={about.href} />
          ) : (
            <a href={about.href}>{about.label}</a>
          )}
        </>
      )}
      {entry.says.map((words) => (
        <span key={words} class="line">
          {' '}
          {words}
        </span>
      ))}
      <span class="soft line">
        {' '}
        {entry.from === entry.number
          ? say.systems.entry(entry.number)
          : say.systems.entriesTo(entry.from, entry.number)}
        {entry.who === null ? '' : say.systems.enteredBy(entry.who)}
      </span>
    </li>
  )
}
