// What is on this refrigerant circuit: units, line sets, joints, and the jobs done on it?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { JointOrigin, Tubing, UnitRole } from '../../server/vocabulary.ts'
import { type CallbackLine, standing } from '../callbacks/index.tsx'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import { PipeStrip, type PipeStripProps } from '../parts/pipe-strip.tsx'
import { Tag } from '../parts/tag.tsx'
import { When } from '../parts/when.tsx'
import { type JobLine, JobLines } from '../sites/show.tsx'

export interface SystemPageProps {
  shell: Shell
  system: { id: string; name: string; tagPrefix: string; refrigerant: string }
  site: { id: string; customerName: string; address: string }
  sheet: { id: string; name: string } | null
  /** Null while nothing is piped. */
  strip: PipeStripProps | null
  /** Those taken out too. */
  units: readonly {
    id: string
    role: UnitRole
    name: string
    model: string
    serial: string
    installedAt: number
    removedAt: number | null
    removalReason: string | null
    /** Serial of the unit it took the place of. */
    replaces: string | null
  }[]
  lineSets: readonly {
    id: string
    name: string
    /** "Outdoor unit to Kitchen" */
    runs: string
    sizes: string
    length: string | null
    rise: string | null
    tubing: Tubing
    room: string | null
  }[]
  joints: readonly {
    id: string
    tag: string
    what: string
    where: string
    origin: JointOrigin
    retiredAt: number | null
    retiredReason: string | null
  }[]
  jobs: readonly JobLine[]
  /** Newest first. */
  callbacks: readonly Omit<CallbackLine, 'customerName' | 'systemName'>[]
  mayTakeIn: boolean
  openJobId: string | null
  mayChange: boolean
}

const ORIGIN_WORDS: Record<JointOrigin, string | null> = {
  field: null,
  factory: 'made in the factory',
  existing: 'was there before',
}

export function SystemPage(props: SystemPageProps): JSX.Element {
  const { system, site, sheet, mayChange } = props
  const path = `/systems/${system.id}`
  const addLineSet = {
    href: `${path}/line-sets/new${props.openJobId === null ? '' : `?job=${props.openJobId}`}`,
    label: 'Add a line set',
  }
  return (
    <Layout {...props.shell} title={system.name}>
      <h1>{system.name}</h1>
      <p class="lead">
        <a href={`/sites/${site.id}`}>{site.customerName}</a>, {site.address}
      </p>
      <Facts
        facts={[
          { label: 'Tags begin with', value: <span class="tag">{system.tagPrefix}</span> },
          { label: 'Refrigerant', value: system.refrigerant },
          {
            label: 'Equipment sheet',
            value:
              sheet === null ? (
                <span class="soft">none: built-in figures are used</span>
              ) : (
                <a href={`/equipment-sheets/${sheet.id}`}>{sheet.name}</a>
              ),
          },
        ]}
      />
      {mayChange ? (
        <p>
          <a href={`${path}/edit`}>Change name or sheet</a>
        </p>
      ) : null}

      <section class="sheet" aria-labelledby="piped">
        <h2 id="piped">As piped</h2>
        {props.strip === null ? (
          <Empty title="Nothing is piped yet" action={mayChange ? addLineSet : undefined}>
            A line set brings its joints with it.
          </Empty>
        ) : (
          <>
            <PipeStrip {...props.strip} />
            <p class="actions">
              <a class="button other" href={`${path}/tags`}>
                Print the tags
              </a>
              <a class="button other" href={`${path}/figures`}>
                Torque and flares
              </a>
              <a class="button other" href={`${path}/history`}>
                History
              </a>
            </p>
          </>
        )}
      </section>

      <section class="sheet" aria-labelledby="units">
        <h2 id="units">Units</h2>
        {props.units.length === 0 ? (
          <p class="soft">None entered yet.</p>
        ) : (
          <Units units={props.units} path={path} mayChange={mayChange} />
        )}
        {mayChange ? (
          <p class="actions">
            <a class="button other" href={`${path}/units/new`}>
              Add a unit
            </a>
          </p>
        ) : null}
      </section>

      {props.lineSets.length === 0 ? null : (
        <section class="sheet" aria-labelledby="line-sets">
          <h2 id="line-sets">Line sets</h2>
          <table class="stack">
            <thead>
              <tr>
                <th scope="col">Line set</th>
                <th scope="col">Runs from, to</th>
                <th scope="col">Sizes</th>
                <th scope="col">Length</th>
                <th scope="col">Room</th>
              </tr>
            </thead>
            <tbody>
              {props.lineSets.map((line) => (
                <tr key={line.id}>
                  <td>
                    {mayChange ? <a href={`/line-sets/${line.id}/edit`}>{line.name}</a> : line.name}
                    {line.tubing === 'reused' ? <span class="soft">, reused tubes</span> : null}
                  </td>
                  <td>{line.runs}</td>
                  <td>{line.sizes}</td>
                  <td data-label="Length">
                    {line.length}
                    {line.rise === null ? null : <span class="soft">, rise {line.rise}</span>}
                  </td>
                  <td data-label="Room">{line.room ?? <span class="soft">not said</span>}</td>
                </tr>
              ))}
            </tbody>
          </table>
          {mayChange ? (
            <p class="actions">
              <a class="button" href={addLineSet.href}>
                {addLineSet.label}
              </a>
            </p>
          ) : null}
        </section>
      )}

      {props.joints.length === 0 && !mayChange ? null : (
        <section class="sheet" aria-labelledby="joints">
          <h2 id="joints">Joints</h2>
          <details>
            <summary>
              {props.joints.length === 1 ? 'The one joint' : `All ${props.joints.length} joints`}, one by one
            </summary>
            <Joints joints={props.joints} mayChange={mayChange} />
          </details>
          {mayChange ? (
            <p class="actions">
              <a class="button other" href={`${path}/joints/new`}>
                Add a joint
              </a>
            </p>
          ) : null}
        </section>
      )}

      {props.jobs.length === 0 ? null : (
        <section class="sheet" aria-labelledby="jobs">
          <h2 id="jobs">Jobs on this system</h2>
          <JobLines jobs={props.jobs} />
        </section>
      )}

      {props.callbacks.length === 0 && !props.mayTakeIn ? null : (
        <section class="sheet" aria-labelledby="callbacks">
          <h2 id="callbacks">Callbacks</h2>
          {props.callbacks.length === 0 ? (
            <p class="soft">It never came back.</p>
          ) : (
            <ul>
              {props.callbacks.map((callback) => (
                <li key={callback.id}>
                  <a href={`/callbacks/${callback.id}`}>
                    <When at={callback.reportedAt} show="day" />
                  </a>
                  : {callback.symptom} {standing(callback)}.
                </li>
              ))}
            </ul>
          )}
          {props.mayTakeIn ? (
            <p class="actions">
              <a class="button other" href={`/callbacks/new?system=${system.id}`}>
                Take in a callback
              </a>
            </p>
          ) : null}
        </section>
      )}
    </Layout>
  )
}

function Units({ units, path, mayChange }: { path: string } & Pick<SystemPageProps, 'units' | 'mayChange'>) {
  return (
    <table class="stack">
      <thead>
        <tr>
          <th scope="col">Unit</th>
          <th scope="col">Model</th>
          <th scope="col">Serial</th>
          <th scope="col">There from, to</th>
          {mayChange ? <th scope="col">Change</th> : null}
        </tr>
      </thead>
      <tbody>
        {units.map((unit) => (
          <tr key={unit.id}>
            <td>
              {unit.name}
              {unit.name.toLowerCase().startsWith(unit.role) ? null : <span class="soft">, {unit.role}</span>}
            </td>
            <td data-label="Model">{unit.model}</td>
            <td data-label="Serial">
              {unit.serial}
              {unit.replaces === null ? null : <span class="soft">, in place of {unit.replaces}</span>}
            </td>
            <td data-label="There">
              from <When at={unit.installedAt} show="day" />
              {unit.removedAt === null ? null : (
                <>
                  {' '}
                  to <When at={unit.removedAt} show="day" />: {unit.removalReason}
                </>
              )}
            </td>
            {mayChange ? (
              <td>
                {unit.removedAt === null ? (
                  <>
                    <a href={`${path}/units/new?replaces=${unit.id}`} aria-label={`Replace ${unit.name}`}>
                      Replace
                    </a>{' '}
                    <a href={`/units/${unit.id}/removal`} aria-label={`Take out ${unit.name}`}>
                      Take out
                    </a>
                  </>
                ) : null}
              </td>
            ) : null}
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function Joints({ joints, mayChange }: Pick<SystemPageProps, 'joints' | 'mayChange'>): JSX.Element {
  if (joints.length === 0) return <p class="soft">None yet. A line set lays out its own.</p>
  return (
    <table class="stack">
      <thead>
        <tr>
          <th scope="col">Tag</th>
          <th scope="col">Where</th>
          <th scope="col">What</th>
          {mayChange ? <th scope="col">Change</th> : null}
        </tr>
      </thead>
      <tbody>
        {joints.map((joint) => (
          <tr key={joint.id}>
            <td>
              <Tag tag={joint.tag} href={`/joints/${joint.id}`} />
            </td>
            <td>{joint.where}</td>
            <td>
              {joint.what}
              {ORIGIN_WORDS[joint.origin] === null ? null : (
                <span class="soft">, {ORIGIN_WORDS[joint.origin]}</span>
              )}
              {joint.retiredAt === null ? null : (
                <>
                  . Retired <When at={joint.retiredAt} show="day" />: {joint.retiredReason}
                </>
              )}
            </td>
            {mayChange ? (
              <td>
                {joint.retiredAt === null ? (
                  <a href={`/joints/${joint.id}/retire`} aria-label={`Retire ${joint.tag}`}>
                    Retire
                  </a>
                ) : null}
              </td>
            ) : null}
          </tr>
        ))}
      </tbody>
    </table>
  )
}
