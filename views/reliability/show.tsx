// Which joints come back, by what they have in common, and where does the evidence hold?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { ReliabilityGroup } from '../../server/rules/judge-reliability.ts'
import type { ReliabilityDimension } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Curve } from '../parts/curve.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import { type FormState, SelectField, TextField } from '../parts/field.tsx'
import { type RateLine, RatePlot } from './rate-plot.tsx'
import { DIMENSION_WORDS, WHAT_TO_DO } from './words.ts'

export interface ShownGroup extends ReliabilityGroup {
  label: string
  href: string
  /** What its leaking joints share besides, in words. */
  shared: readonly string[]
}

export interface ReliabilityPageProps {
  shell: Shell
  by: ReliabilityDimension
  also: ReliabilityDimension | null
  /** Those that this reader may look by. */
  dimensions: readonly ReliabilityDimension[]
  groups: readonly ShownGroup[]
  all: {
    joints: number
    jointYears: number
    events: number
    rate: number | null
    low: number | null
    high: number | null
  }
  tooFewEvents: boolean
  /** Only the reader's own group is shown. */
  ownOnly: boolean
  causes: readonly { label: string; number: number }[]
  firstPass: { accepted: number; inspected: number; low: number; high: number } | null
  survival: readonly { years: number; atRisk: number; share: number; low: number; high: number }[]
  form: FormState
}

/** More lines than a picture holds; the table has them all. */
const MOST_DRAWN = 16
const per1000 = (value: number) => value.toFixed(1)

export function ReliabilityPage(props: ReliabilityPageProps): JSX.Element {
  const { all } = props
  return (
    <Layout {...props.shell} title="What comes back">
      <h1>What comes back</h1>
      <p class="lead">
        Leaks on joints that we made and signed off, against the time that they have been in service.
      </p>
      <form method="get" action="/reliability" class="look-through">
        <SelectField
          name="by"
          label="By"
          beside
          options={props.dimensions.map((value) => ({ value, label: DIMENSION_WORDS[value] }))}
          value={props.by}
        />
        <SelectField
          name="also"
          label="And by"
          beside
          choose="nothing else"
          options={props.dimensions.map((value) => ({ value, label: DIMENSION_WORDS[value] }))}
          value={props.also ?? undefined}
        />
        <TextField name="from" label="From" type="date" form={props.form} />
        <TextField name="to" label="To" type="date" form={props.form} />
        <div class="actions">
          <Button kind="other">Show</Button>
        </div>
      </form>
      <Facts
        facts={[
          { label: 'Joints', value: all.joints },
          { label: 'In service', value: `${all.jointYears.toFixed(1)} joint-years` },
          {
            label: 'Leaks',
            value: all.events,
            note:
              all.rate === null || all.low === null || all.high === null
                ? undefined
                : `${per1000(all.rate)} per 1,000 joint-years, 95 % between ${per1000(all.low)} and ${per1000(all.high)} (Garwood)`,
          },
          ...(props.firstPass === null
            ? []
            : [
                {
                  label: 'Flares accepted at once',
                  value: `${props.firstPass.accepted} of ${props.firstPass.inspected}`,
                  note: `95 % between ${(100 * props.firstPass.low).toFixed(1)} % and ${(100 * props.firstPass.high).toFixed(1)} % (Wilson)`,
                },
              ]),
        ]}
      />
      {props.groups.length === 0 ? (
        <Empty title="Nothing to compare yet">Joints count from the sign-off of their job.</Empty>
      ) : (
        <Groups {...props} />
      )}
      <Causes causes={props.causes} />
      <StillTight survival={props.survival} ownOnly={props.ownOnly} />
    </Layout>
  )
}

function Groups(props: ReliabilityPageProps): JSX.Element {
  const { groups, all, by, also } = props
  const flagged = groups.filter((group) => group.flagged)
  const lines = groups.flatMap(({ label, ratePer1000JointYears: rate, interval, flagged }): RateLine[] =>
    rate === null || interval === null ? [] : [{ label, rate, ...interval, flagged }],
  )
  return (
    <section class="sheet" aria-labelledby="groups">
      <h2 id="groups">
        By {DIMENSION_WORDS[by]}
        {also === null ? '' : ` and ${DIMENSION_WORDS[also]}`}
      </h2>
      {props.ownOnly ? (
        <p>Of the groups only your own is shown; the figures above are the company’s.</p>
      ) : null}
      {props.tooFewEvents ? (
        <p>
          <b>Too few leaks for any group to stand out:</b> it takes five in all.
        </p>
      ) : flagged.length === 0 ? (
        <p>
          <b>{props.ownOnly ? 'Yours does not stand out.' : 'No group stands out.'}</b> What differs here is
          within what chance makes of so few leaks.
        </p>
      ) : (
        flagged.map((group) => (
          <div key={group.key} class="stands-out">
            <p>
              <b>
                {group.label} stands out: {group.events} leaks on {group.systems} systems, where{' '}
                {group.expectedEvents.toFixed(1)} were to be expected.
              </b>{' '}
              <a href={group.href}>Its joints</a>
            </p>
            {group.shared.length === 0 ? null : <p>Its leaks share: {group.shared.join('; ')}.</p>}
            <p>{WHAT_TO_DO[by]}</p>
          </div>
        ))
      )}
      <RatePlot id="rates" lines={lines.slice(0, MOST_DRAWN)} company={all.rate} />
      <p class="soft">
        A group stands out when an exact test against its share of what was expected passes at 5 % over all
        groups shown (Benjamini–Hochberg), with at least 3 leaks on 3 systems and 1.5 times as many as the
        rest. There are {props.dimensions.length} ways to look, and each look finds something by chance now
        and then: ask what else the joints share before you act.{' '}
        <a href="/methods/flagging">How that is worked out</a>
      </p>
      <section class="table-scroll" tabindex={0} aria-label="All groups">
        <table>
          <thead>
            <tr>
              <th scope="col">Group</th>
              <th scope="col">Joints</th>
              <th scope="col">Joint-years</th>
              <th scope="col">Leaks</th>
              <th scope="col">Expected</th>
              <th scope="col">Per 1,000 joint-years</th>
              <th scope="col">95 %</th>
              <th scope="col">Shrunk ratio</th>
              <th scope="col">P(worse)</th>
              <th scope="col">p</th>
              <th scope="col">Stands out</th>
            </tr>
          </thead>
          <tbody>
            {groups.map((group) => (
              <tr key={group.key}>
                <th scope="row">
                  <a href={group.href}>{group.label}</a>
                </th>
                <td class="figure">{group.joints}</td>
                <td class="figure">{group.jointYears.toFixed(1)}</td>
                <td class="figure">{group.events}</td>
                <td class="figure">{group.expectedEvents.toFixed(2)}</td>
                <td class="figure">
                  {group.ratePer1000JointYears === null ? '–' : per1000(group.ratePer1000JointYears)}
                </td>
                <td class="figure">
                  {group.interval === null
                    ? '–'
                    : `${per1000(group.interval.low)}–${per1000(group.interval.high)}`}
                </td>
                <td class="figure">{group.shrunkRatio.toFixed(2)}</td>
                <td class="figure">{group.probabilityWorse.toFixed(2)}</td>
                <td class="figure">{group.pValue < 0.001 ? '< 0.001' : group.pValue.toFixed(3)}</td>
                <td>{group.flagged ? <b>yes</b> : 'no'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </section>
  )
}

function Causes({ causes }: Pick<ReliabilityPageProps, 'causes'>): JSX.Element | null {
  if (causes.length === 0) return null
  const all = causes.reduce((sum, { number }) => sum + number, 0)
  let sum = 0
  return (
    <section class="sheet" aria-labelledby="causes">
      <h2 id="causes">What was found</h2>
      <p class="soft">Of every callback on record, whichever days were chosen above.</p>
      <table>
        <thead>
          <tr>
            <th scope="col">Cause</th>
            <th scope="col">Found</th>
            <th scope="col">Up to here</th>
          </tr>
        </thead>
        <tbody>
          {causes.map(({ label, number }) => {
            sum += number
            return (
              <tr key={label}>
                <th scope="row">{label}</th>
                <td class="figure">{number}</td>
                <td class="figure">{((100 * sum) / all).toFixed(0)} %</td>
              </tr>
            )
          })}
        </tbody>
      </table>
    </section>
  )
}

function StillTight(props: Pick<ReliabilityPageProps, 'survival' | 'ownOnly'>): JSX.Element | null {
  const { survival } = props
  if (survival.length < 2) return null
  const lowest = Math.floor(Math.min(...survival.map(({ low }) => 100 * low)))
  // Level from one leak to the next.
  const stepped = survival.flatMap((step, index) => {
    const before = survival[index - 1]
    return before === undefined ? [step] : [{ ...before, years: step.years }, step]
  })
  return (
    <section class="sheet" aria-labelledby="still-tight">
      <h2 id="still-tight">How many are still tight</h2>
      <p class="soft">
        {props.ownOnly ? 'Of your own joints' : 'Of all joints'} since their sign-off, whichever days were
        chosen above.
      </p>
      <Curve
        id="survival"
        title="Share of joints still tight"
        desc="Kaplan–Meier estimate of the share of joints without a leak, by years since sign-off, with Greenwood’s 95 % interval."
        x={{ label: 'years since sign-off', fromZero: true }}
        y={{ label: 'still tight, %', domain: [lowest, 100] }}
        readings={[]}
        fitted={{
          label: 'share still tight',
          points: stepped.map(({ years, share }) => ({ x: years, y: 100 * share })),
        }}
        band={{
          label: '95 %',
          points: stepped.map(({ years, low, high }) => ({ x: years, low: 100 * low, high: 100 * high })),
        }}
        table={{
          title: 'Table of the steps',
          columns: ['years', 'watched', 'still tight', '95 %'],
          rows: survival.map(({ years, atRisk, share, low, high }) => [
            years.toFixed(2),
            String(atRisk),
            `${(100 * share).toFixed(2)} %`,
            `${(100 * low).toFixed(2)}–${(100 * high).toFixed(2)} %`,
          ]),
        }}
        caption={<a href="/methods/survival">How that is worked out</a>}
      />
    </section>
  )
}
