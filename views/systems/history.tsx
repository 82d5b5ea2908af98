// What happened on this system, the newest first, and only the part that was asked for?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { HISTORY_TOPICS, type HistoryTopic } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts } from '../parts/facts.tsx'
import { SelectField, TextField } from '../parts/field.tsx'
import { Pager } from '../parts/pager.tsx'
import { PipeStrip, type PipeStripProps } from '../parts/pipe-strip.tsx'
import { Tag } from '../parts/tag.tsx'
import { When } from '../parts/when.tsx'
import { entryWords, TOPIC_WORDS } from './entry-words.ts'

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
    <Layout {...props.shell} title={`History of ${system.name}`}>
      <h1>{system.name}: history</h1>
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
              unit.removedAt === null ? (
                <>
                  since <When at={unit.installedAt} show="day" />
                </>
              ) : (
                <>
                  from <When at={unit.installedAt} show="day" /> to <When at={unit.removedAt} show="day" />
                </>
              ),
          })),
          { label: 'Joints', value: String(counts.joints) },
          { label: 'Jobs', value: String(counts.jobs) },
          {
            label: 'Callbacks',
            value: counts.open === 0 ? String(counts.callbacks) : `${counts.callbacks}, ${counts.open} open`,
          },
        ]}
      />
      <p class="actions">
        {props.mayTakeIn ? (
          <a class="button other" href={`/callbacks/new?system=${system.id}`}>
            Take in a callback
          </a>
        ) : null}
        <a class="button other" href={`/systems/${system.id}`}>
          Its page
        </a>
      </p>
      <Filter {...props} />
      {entries.length === 0 ? (
        <p class="soft">Nothing was entered that fits this.</p>
      ) : (
        <ol class="timeline" aria-label="Entries, the newest first">
          {entries.map((entry) => (
            <Entry key={entry.id} entry={entry} />
          ))}
        </ol>
      )}
      <Pager of="entries" firstHref={props.firstHref} nextHref={props.nextHref} />
    </Layout>
  )
}

const TOPICS = Object.keys(HISTORY_TOPICS) as HistoryTopic[]

function Filter({ system, filter, joints }: SystemHistoryProps): JSX.Element {
  const isAsked = Object.values(filter).some((value) => value !== '')
  return (
    <details class="sheet" open={isAsked}>
      <summary>Only a part of it</summary>
      <form method="get" action={`/systems/${system.id}/history`}>
        <SelectField
          name="what"
          label="What"
          value={filter.what}
          options={[
            { value: '', label: 'Everything' },
            ...TOPICS.map((topic) => ({ value: topic, label: TOPIC_WORDS[topic] })),
          ]}
        />
        <SelectField
          name="joint"
          label="About the joint"
          value={filter.joint}
          options={[
            { value: '', label: 'Any, and what is about none' },
            ...joints.map(({ id, tag }) => ({ value: id, label: tag })),
          ]}
        />
        <TextField name="from" label="From this day" type="date" value={filter.from} />
        <TextField name="to" label="To this day" type="date" value={filter.to} />
        <Button kind="other">Show</Button>
        {isAsked ? (
          <p>
            <a href={`/systems/${system.id}/history`}>Show everything</a>
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
        {entry.from === entry.number ? `Entry ${entry.number}` : `Entries ${entry.from} to ${entry.number}`}
        {entry.who === null ? '' : `, entered by ${entry.who}`}
      </span>
    </li>
  )
}
