// What is on this refrigerant circuit: units, line sets, joints, and the jobs done on it?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { JointOrigin, Tubing, UnitRole } from '../../server/vocabulary.ts'
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
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

const originWords = (): Record<JointOrigin, string | null> => ({
  field: null,
  factory: say.systems.madeInTheFactory,
  existing: say.systems.wasThereBefore,
})

export function SystemPage(props: SystemPageProps): JSX.Element {
  const { system, site, sheet, mayChange } = props
  const path = `/systems/${system.id}`
  const addLineSet = {
    href: `${path}/line-sets/new${props.openJobId === null ? '' : `?job=${props.openJobId}`}`,
    label: say.systems.addALineSet,
  }
  return (
    <Layout {...props.shell} title={system.name}>
      <h1>{system.name}</h1>
      <p class="lead">
        <a href={`/sites/${site.id}`}>{site.customerName}</a>, {site.address}
      </p>
      <Facts
        facts={[
          { label: say.systems.tagsBeginWith, value: <span class="tag">{system.tagPrefix}</span> },
          { label: say.systems.refrigerant, value: system.refrigerant },
          {
            label: say.systems.equipmentSheet,
            value:
              sheet === null ? (
                <span class="soft">{say.systems.noneBuiltInFigures}</span>
              ) : (
                <a href={`/equipment-sheets/${sheet.id}`}>{sheet.name}</a>
              ),
          },
        ]}
      />
      {mayChange ? (
        <p>
          <a href={`${path}/edit`}>{say.systems.changeNameOrSheet}</a>
        </p>
      ) : null}

      <section class="sheet" aria-labelledby="piped">
        <h2 id="piped">{say.systems.asPiped}</h2>
        {props.strip === null ? (
          <Empty title={say.systems.nothingIsPipedYet} action={mayChange ? addLineSet : undefined}>
            {say.systems.aLineSetBrings}
          </Empty>
        ) : (
          <>
            <PipeStrip {...props.strip} />
            <p class="actions">
              <a class="button other" href={`${path}/tags`}>
                {say.systems.printTheTags}
              </a>
              <a class="button other" href={`${path}/figures`}>
                {say.systems.torqueAndFlares}
              </a>
              <a class="button other" href={`${path}/history`}>
                {say.systems.history}
              </a>
            </p>
          </>
        )}
      </section>

      <section class="sheet" aria-labelledby="units">
        <h2 id="units">{say.systems.units}</h2>
        {props.units.length === 0 ? (
          <p class="soft">{say.systems.noneEnteredYet}</p>
        ) : (
          <Units units={props.units} path={path} mayChange={mayChange} />
        )}
        {mayChange ? (
          <p class="actions">
            <a class="button other" href={`${path}/units/new`}>
              {say.systems.addAUnit}
            </a>
          </p>
        ) : null}
      </section>

      {props.lineSets.length === 0 ? null : (
        <section class="sheet" aria-labelledby="line-sets">
          <h2 id="line-sets">{say.systems.lineSets}</h2>
          <table class="stack">
            <thead>
              <tr>
                <th scope="col">{say.systems.lineSet2}</th>
                <th scope="col">{say.systems.runsFromTo}</th>
                <th scope="col">{say.systems.sizes}</th>
                <th scope="col">{say.systems.length}</th>
                <th scope="col">{say.systems.room}</th>
              </tr>
            </thead>
            <tbody>
              {props.lineSets.map((line) => (
                <tr key={line.id}>
                  <td>
                    {mayChange ? <a href={`/line-sets/${line.id}/edit`}>{line.name}</a> : line.name}
                    {line.tubing === 'reused' ? <span class="soft">{say.systems.reusedTubes}</span> : null}
                  </td>
                  <td>{line.runs}</td>
                  <td>{line.sizes}</td>
                  <td data-label={say.systems.length}>
                    {line.length}
                    {line.rise === null ? null : <span class="soft">{say.systems.rise(line.rise)}</span>}
                  </td>
                  <td data-label={say.systems.room}>
                    {line.room ?? <span class="soft">{say.systems.notSaid}</span>}
                  </td>
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
          <h2 id="joints">{say.systems.joints}</h2>
          <details>
            <summary>
              {say.systems.oneByOne(
                props.joints.length === 1
                  ? say.systems.theOneJoint
                  : say.systems.allJoints(props.joints.length),
              )}
            </summary>
            <Joints joints={props.joints} mayChange={mayChange} />
          </details>
          {mayChange ? (
            <p class="actions">
              <a class="button other" href={`${path}/joints/new`}>
                {say.systems.addAJoint}
              </a>
            </p>
          ) : null}
        </section>
      )}

      {props.jobs.length === 0 ? null : (
        <section class="sheet" aria-labelledby="jobs">
          <h2 id="jobs">{say.systems.jobsOnThisSystem}</h2>
          <JobLines jobs={props.jobs} />
        </section>
      )}

      {props.callbacks.length === 0 && !props.mayTakeIn ? null : (
        <section class="sheet" aria-labelledby="callbacks">
          <h2 id="callbacks">{say.systems.callbacks}</h2>
          {props.callbacks.length === 0 ? (
            <p class="soft">{say.systems.itNeverCameBack}</p>
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
                {say.systems.takeInACallback}
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
          <th scope="col">{say.systems.unit}</th>
          <th scope="col">{say.systems.model}</th>
          <th scope="col">{say.systems.serial}</th>
          <th scope="col">{say.systems.thereFromTo}</th>
          {mayChange ? <th scope="col">{say.systems.change2}</th> : null}
        </tr>
      </thead>
      <tbody>
        {units.map((unit) => (
          <tr key={unit.id}>
            <td>
              {unit.name}
              {unit.name.toLowerCase().startsWith(unit.role) ? null : (
                <span class="soft">, {coded(unit.role)}</span>
              )}
            </td>
            <td data-label={say.systems.model}>{unit.model}</td>
            <td data-label={say.systems.serial}>
              {unit.serial}
              {unit.replaces === null ? null : (
                <span class="soft">{say.systems.inPlaceOf(unit.replaces)}</span>
              )}
            </td>
            <td data-label={say.systems.there}>
              {say.systems.from(
                <When at={unit.installedAt} show="day" />,
                unit.removedAt === null ? null : (
                  <> {say.systems.to(<When at={unit.removedAt} show="day" />, unit.removalReason)}</>
                ),
              )}
            </td>
            {mayChange ? (
              <td>
                {unit.removedAt === null ? (
                  <>
                    <a
                      href={`${path}/units/new?replaces=${unit.id}`}
                      aria-label={say.systems.replace(unit.name)}
                    >
                      {say.systems.replace2}
                    </a>{' '}
                    <a href={`/units/${unit.id}/removal`} aria-label={say.systems.takeOut(unit.name)}>
                      {say.systems.takeOut2}
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
  if (joints.length === 0) return <p class="soft">{say.systems.noneYetALine}</p>
  return (
    <table class="stack">
      <thead>
        <tr>
          <th scope="col">{say.systems.tag}</th>
          <th scope="col">{say.systems.where}</th>
          <th scope="col">{say.systems.what}</th>
          {mayChange ? <th scope="col">{say.systems.change2}</th> : null}
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
              {originWords()[joint.origin] === null ? null : (
                <span class="soft">, {originWords()[joint.origin]}</span>
              )}
              {joint.retiredAt === null
                ? null
                : say.systems.retired(<When at={joint.retiredAt} show="day" />, joint.retiredReason)}
            </td>
            {mayChange ? (
              <td>
                {joint.retiredAt === null ? (
                  <a href={`/joints/${joint.id}/retire`} aria-label={say.systems.retire(joint.tag)}>
                    {say.systems.retire2}
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
