// By which criteria does the company judge, and where do they ask less than the built-in ones?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { EvidencePhoto } from '../../server/rules/policy.ts'
import type { InstrumentKind } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { When } from '../parts/when.tsx'
import {
  CRITERIA,
  INSTRUMENT_WORDS,
  inUnit,
  PHOTO_WORDS,
  type SentCriteria,
  said,
  valueAt,
} from './criteria-words.ts'

export interface PolicyProps {
  shell: Shell
  /** Newest first; the first is in force. */
  versions: readonly { version: number; reason: string | null; changedByName: string; createdAt: number }[]
  inForce: SentCriteria
  builtIn: SentCriteria
  /** Paths of the criteria that are looser than the built-in ones. */
  looser: readonly string[]
}

export function PolicyPage(props: PolicyProps): JSX.Element {
  const { shell, versions, inForce, builtIn, looser } = props
  return (
    <Layout {...shell} title="Criteria">
      <h1>Criteria</h1>
      <p class="lead">
        {versions[0] === undefined ? null : `Version ${versions[0].version} is in force. `}
        {looser.length === 0
          ? 'None is looser than the built-in criteria.'
          : `${looser.length === 1 ? 'One is' : `${looser.length} are`} looser than the built-in criteria; each certificate says which.`}
      </p>
      <p>
        <a class="button do" href="/policy/edit">
          Set criteria
        </a>
      </p>
      <table class="stack">
        <Head />
        {CRITERIA.map((group) => (
          <Group
            key={group.title}
            title={group.title}
            rows={group.criteria.map(({ path, label, ask }) => ({
              label,
              set: said(ask, valueAt(inForce, path)),
              builtIn: said(ask, valueAt(builtIn, path)),
              looser: looser.includes(path),
            }))}
          />
        ))}
        {inForce.torqueSet ? (
          <Group
            title={`EN 378-2, as entered: ${inForce.torqueSet.source}`}
            rows={inForce.torqueSet.ranges.map(({ tubeOd, low, high }) => ({
              label: `Tube of ${inUnit('length', tubeOd, 'mm')}\u00a0mm`,
              set: `${low.value} to ${high.value}\u00a0N·m`,
              builtIn: 'not built in',
              looser: false,
            }))}
          />
        ) : null}
        <Group
          title="Leaks"
          rows={[
            {
              label: 'Largest leak rate of the decay',
              set: leakRate(inForce),
              builtIn: leakRate(builtIn),
              looser: false,
            },
            {
              label: 'Bubbles on indoor joints of flammable systems see',
              set: bubbles(inForce),
              builtIn: bubbles(builtIn),
              looser: looser.includes('bubbleSensitivity'),
            },
          ]}
        />
        <Group
          title="Instruments are confirmed every"
          rows={(Object.keys(INSTRUMENT_WORDS) as InstrumentKind[]).map((kind) => ({
            label: INSTRUMENT_WORDS[kind],
            set: days(inForce.confirmationDays[kind]),
            builtIn: days(builtIn.confirmationDays[kind]),
            looser: looser.includes(`confirmationDays.${kind}`),
          }))}
        />
      </table>
      {/* Its long answers would squeeze the figures above. */}
      <table class="stack">
        <Head />
        <Group
          title="People and photos"
          rows={[
            {
              label: 'Who handles refrigerant needs',
              set: inForce.handlerSchemes.join(', ') || 'nothing asked for',
              builtIn: builtIn.handlerSchemes.join(', ') || 'nothing asked for',
              looser: false,
            },
            {
              label: 'Photos before release',
              set: photos(inForce.evidence.photos),
              builtIn: photos(builtIn.evidence.photos),
              looser: looser.includes('evidence.photos'),
            },
          ]}
        />
      </table>
      <section>
        <h2>Versions</h2>
        <p class="why">A sealed job keeps the version that it was judged by.</p>
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">Version</th>
              <th scope="col">Set by</th>
              <th scope="col">On</th>
              <th scope="col">Reason</th>
            </tr>
          </thead>
          <tbody>
            {versions.map((one) => (
              <tr key={one.version}>
                <th scope="row">Version {one.version}</th>
                <td data-label="Set by">{one.changedByName}</td>
                <td data-label="On">
                  <When at={one.createdAt} />
                </td>
                <td data-label="Reason">
                  {one.reason ?? (one.version === 1 ? 'the built-in criteria' : 'none given')}
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
}

function Head(): JSX.Element {
  return (
    <thead>
      <tr>
        <th scope="col">Criterion</th>
        <th scope="col">In force</th>
        <th scope="col">Built in</th>
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
          <td data-label="In force">
            {row.set}
            {row.looser ? <strong> (looser)</strong> : null}
          </td>
          <td data-label="Built in">
            <span class="soft">{row.builtIn}</span>
          </td>
        </tr>
      ))}
    </tbody>
  )
}

const days = (value: number | null): string =>
  value === null ? 'not asked for' : value === 1 ? 'day' : `${value} days`

const leakRate = ({ vacuum }: SentCriteria): string =>
  vacuum.leakRate === null ? 'none set' : `${vacuum.leakRate.value} Pa·m³/s`

const bubbles = ({ bubbleSensitivity }: SentCriteria): string =>
  bubbleSensitivity === null
    ? 'not enough by themselves'
    : `${bubbleSensitivity.rate.value} g/yr (${bubbleSensitivity.source})`

const photos = (wanted: readonly EvidencePhoto[]): string =>
  wanted.length === 0 ? 'none asked for' : wanted.map((photo) => PHOTO_WORDS[photo]).join('; ')
