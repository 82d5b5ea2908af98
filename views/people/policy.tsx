// By which criteria does the company judge, and where do they ask less than the built-in ones?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { EvidencePhoto } from '../../server/rules/policy.ts'
import type { InstrumentKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { When } from '../parts/when.tsx'
import {
  instrumentWords,
  inUnit,
  type SentCriteria,
  said,
  theCriteria,
  thePhotoWords,
  valueAt,
} from './criteria-words.ts'

interface PolicyVersionShown {
  version: number
  criteria: SentCriteria
  reason: string | null
  changedByName: string
  createdAt: number
}

export interface PolicyProps {
  shell: Shell
  /** Newest first; the first is in force. */
  versions: readonly PolicyVersionShown[]
  inForce: SentCriteria
  builtIn: SentCriteria
  /** Paths of the criteria that are looser than the built-in ones. */
  looser: readonly string[]
}

export function PolicyPage(props: PolicyProps): JSX.Element {
  const { shell, versions, inForce, builtIn, looser } = props
  return (
    <Layout {...shell} title={say.people.criteria}>
      <h1>{say.people.criteria}</h1>
      <p class="lead">
        {versions[0] === undefined ? null : say.people.versionIsInForce(versions[0].version)}
        {looser.length === 0
          ? say.people.noneIsLooserThan
          : say.people.looserThanTheBuilt(
              looser.length === 1 ? say.people.oneIs : say.people.are(looser.length),
            )}
      </p>
      <p>
        <a class="button do" href="/policy/edit">
          {say.people.setCriteria}
        </a>
      </p>
      <table class="stack">
        <Head />
        {theCriteria().map((group) => (
          <Group
            key={group.title}
            title={group.title}
            rows={group.criteria.map(({ path, label, ask }) => ({
              label,
              set: said(ask, valueAt(inForce, path)),
              builtIn: said(ask, valueAt(builtIn, path)),
              looser: looser.includes(path),
              changed: lastChangeOf(versions, path),
            }))}
          />
        ))}
        {inForce.torqueSet ? (
          <Group
            title={say.people.en3782As(inForce.torqueSet.source)}
            rows={inForce.torqueSet.ranges.map(({ tubeOd, low, high }) => ({
              label: say.people.tubeOfMm(inUnit('length', tubeOd, 'mm')),
              set: say.people.toNM(low.value, high.value),
              builtIn: say.people.notBuiltIn,
              looser: false,
            }))}
          />
        ) : null}
        <Group
          title={say.people.leaks}
          rows={[
            {
              label: say.people.largestLeakRateOf,
              set: leakRate(inForce),
              builtIn: leakRate(builtIn),
              looser: false,
              changed: lastChangeOf(versions, 'vacuum.leakRate'),
            },
            {
              label: say.people.bubblesOnIndoorJoints,
              set: bubbles(inForce),
              builtIn: bubbles(builtIn),
              looser: looser.includes('bubbleSensitivity'),
              changed: lastChangeOf(versions, 'bubbleSensitivity'),
            },
          ]}
        />
        <Group
          title={say.people.instrumentsAreConfirmedEvery}
          rows={(Object.keys(instrumentWords()) as InstrumentKind[]).map((kind) => ({
            label: instrumentWords()[kind],
            set: days(inForce.confirmationDays[kind]),
            builtIn: days(builtIn.confirmationDays[kind]),
            looser: looser.includes(`confirmationDays.${kind}`),
            changed: lastChangeOf(versions, `confirmationDays.${kind}`),
          }))}
        />
      </table>
      {/* Its long answers would squeeze the figures above. */}
      <table class="stack">
        <Head />
        <Group
          title={say.people.peopleAndPhotos}
          rows={[
            {
              label: say.people.whoHandlesRefrigerantNeeds,
              set: inForce.handlerSchemes.join(', ') || say.people.nothingAskedFor,
              builtIn: builtIn.handlerSchemes.join(', ') || say.people.nothingAskedFor,
              looser: false,
              changed: lastChangeOf(versions, 'handlerSchemes'),
            },
            {
              label: say.people.photosBeforeRelease,
              set: photos(inForce.evidence.photos),
              builtIn: photos(builtIn.evidence.photos),
              looser: looser.includes('evidence.photos'),
              changed: lastChangeOf(versions, 'evidence.photos'),
            },
          ]}
        />
      </table>
      <section>
        <h2>{say.people.versions}</h2>
        <p class="why">{say.people.aSealedJobKeeps}</p>
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{say.people.version}</th>
              <th scope="col">{say.people.setBy}</th>
              <th scope="col">{say.people.on}</th>
              <th scope="col">{say.people.reason}</th>
            </tr>
          </thead>
          <tbody>
            {versions.map((one) => (
              <tr key={one.version}>
                <th scope="row">{say.people.version2(one.version)}</th>
                <td data-label={say.people.setBy}>{one.changedByName}</td>
                <td data-label={say.people.on}>
                  <When at={one.createdAt} />
                </td>
                <td data-label={say.people.reason}>
                  {one.reason ?? (one.version === 1 ? say.people.theBuiltInCriteria : say.people.noneGiven)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </Layout>
  )
}

interface Row {
  label: string
  set: string
  builtIn: string
  looser: boolean
  changed?: PolicyVersionShown | undefined
}

/** The version that brought the value in force; none where it was so from the first. */
function lastChangeOf(
  newestFirst: readonly PolicyVersionShown[],
  path: string,
): PolicyVersionShown | undefined {
  return newestFirst.find((one, index) => {
    const before = newestFirst[index + 1]
    const value = ({ criteria }: PolicyVersionShown) => JSON.stringify(valueAt(criteria, path))
    return before !== undefined && value(one) !== value(before)
  })
}

function Head(): JSX.Element {
  return (
    <thead>
      <tr>
        <th scope="col">{say.people.criterion}</th>
        <th scope="col">{say.people.inForce}</th>
        <th scope="col">{say.people.builtIn}</th>
      </tr>
    </thead>
  )
}

function Group({ title, rows }: { title: string; rows: readonly Row[] }): JSX.Element {
  return (
    <tbody>
      <tr>
        <th scope="rowgroup" colSpan={3}>
          <h2>{title}</h2>
        </th>
      </tr>
      {rows.map((row) => (
        <tr key={row.label}>
          <th scope="row">{row.label}</th>
          <td data-label={say.people.inForce}>
            {row.set}
            {row.looser ? <strong> {say.people.looser}</strong> : null}
            {row.changed ? (
              <span class="soft">
                {' '}
                {say.people.setInVersion(
                  row.changed.version,
                  row.changed.changedByName,
                  <When at={row.changed.createdAt} show="day" />,
                )}
              </span>
            ) : null}
          </td>
          <td data-label={say.people.builtIn}>
            <span class="soft">{row.builtIn}</span>
          </td>
        </tr>
      ))}
    </tbody>
  )
}

const days = (value: number | null): string =>
  value === null ? say.people.notAskedFor : value === 1 ? say.people.eachDay : say.people.days(value)

const leakRate = ({ vacuum }: SentCriteria): string =>
  vacuum.leakRate === null ? say.people.noneSet : `${vacuum.leakRate.value} Pa·m³/s`

const bubbles = ({ bubbleSensitivity }: SentCriteria): string =>
  bubbleSensitivity === null
    ? say.people.notEnoughByThemselves
    : `${bubbleSensitivity.rate.value} g/yr (${bubbleSensitivity.source})`

const photos = (wanted: readonly EvidencePhoto[]): string =>
  wanted.length === 0 ? say.people.noneAskedFor : wanted.map((photo) => thePhotoWords()[photo]).join('; ')
