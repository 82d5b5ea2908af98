// Which joints come back, by what they have in common, and where does the evidence hold?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { ReliabilityGroup } from '../../server/rules/judge-reliability.ts'
import type { ReliabilityDimension } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Curve } from '../parts/curve.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import { type FormState, SelectField, TextField } from '../parts/field.tsx'
import { ParetoPlot } from './bars.tsx'
import { type RateLine, RatePlot } from './rate-plot.tsx'
import { dimensionWords, whatToDo } from './words.ts'

export interface ShownGroup extends ReliabilityGroup {
  label: string
  href: string
  /** What its leaking joints share besides, in words. */
  shared: readonly string[]
  /** The joints of it that are to be looked at first; none where it is about persons. */
  atRiskHref: string | undefined
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
  months: readonly { month: string; signedOff: number; jointYears: number; leaks: number }[]
  survival: readonly { years: number; atRisk: number; share: number; low: number; high: number }[]
  form: FormState
}

/** More lines than a picture holds; the table has them all. */
const MOST_DRAWN = 16
const per1000 = (value: number) => value.toFixed(1)

export function ReliabilityPage(props: ReliabilityPageProps): JSX.Element {
  const { all } = props
  return (
    <Layout {...props.shell} title={say.reliability.whatComesBack}>
      <h1>{say.reliability.whatComesBack}</h1>
      <p class="lead">{say.reliability.leaksOnJointsThat}</p>
      <form method="get" action="/reliability" class="look-through">
        <SelectField
          name="by"
          label={say.reliability.by}
          beside
          options={props.dimensions.map((value) => ({ value, label: dimensionWords()[value] }))}
          value={props.by}
        />
        <SelectField
          name="also"
          label={say.reliability.andBy}
          beside
          choose={say.reliability.nothingElse}
          options={props.dimensions.map((value) => ({ value, label: dimensionWords()[value] }))}
          value={props.also ?? undefined}
        />
        <TextField name="from" label={say.reliability.from} type="date" form={props.form} />
        <TextField name="to" label={say.reliability.to} type="date" form={props.form} />
        <div class="actions">
          <Button kind="other">{say.reliability.show}</Button>
        </div>
      </form>
      <p>
        <a href="/reliability/torque">{say.reliability.chartOfTorques}</a>
      </p>
      <Facts
        facts={[
          { label: say.reliability.joints2, value: all.joints },
          { label: say.reliability.inService, value: say.reliability.jointYears(all.jointYears.toFixed(1)) },
          {
            label: say.reliability.leaks,
            value: all.events,
            note:
              all.rate === null || all.low === null || all.high === null
                ? undefined
                : say.reliability.per1000Joint(per1000(all.rate), per1000(all.low), per1000(all.high)),
          },
          ...(props.firstPass === null
            ? []
            : [
                {
                  label: say.reliability.flaresAcceptedAtOnce,
                  value: say.reliability.ofWord(props.firstPass.accepted, props.firstPass.inspected),
                  note: say.reliability.n95BetweenAndWilson(
                    (100 * props.firstPass.low).toFixed(1),
                    (100 * props.firstPass.high).toFixed(1),
                  ),
                },
              ]),
        ]}
      />
      {props.groups.length === 0 ? (
        <Empty title={say.reliability.nothingToCompareYet}>{say.reliability.jointsCountFromThe}</Empty>
      ) : (
        <Groups {...props} />
      )}
      <Months months={props.months} />
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
        {say.reliability.by2(
          dimensionWords()[by],
          also === null ? '' : say.reliability.and(dimensionWords()[also]),
        )}
      </h2>
      {props.ownOnly ? <p>{say.reliability.ofTheGroupsOnly}</p> : null}
      {props.tooFewEvents ? (
        <p>{say.reliability.itTakesFiveIn(<b>{say.reliability.tooFewLeaksFor}</b>)}</p>
      ) : flagged.length === 0 ? (
        <p>
          {say.reliability.whatDiffersHereIs(
            <b>{props.ownOnly ? say.reliability.yoursDoesNotStand : say.reliability.noGroupStandsOut}</b>,
          )}
        </p>
      ) : (
        flagged.map((group) => (
          <div key={group.key} class="stands-out">
            <p>
              <b>
                {say.reliability.standsOutLeaksOn(
                  group.label,
                  group.events,
                  group.systems,
                  group.expectedEvents.toFixed(1),
                )}
              </b>{' '}
              <a href={group.href}>{say.reliability.itsJoints}</a>
              {group.atRiskHref === undefined ? null : (
                <>
                  {' · '}
                  <a href={group.atRiskHref}>{say.atRisk.atRiskLink}</a>
                </>
              )}
            </p>
            {group.shared.length === 0 ? null : (
              <p>{say.reliability.itsLeaksShare(group.shared.join('; '))}</p>
            )}
            <p>{whatToDo()[by]}</p>
          </div>
        ))
      )}
      <RatePlot id="rates" lines={lines.slice(0, MOST_DRAWN)} company={all.rate} />
      <p class="soft">
        {say.reliability.aGroupStandsOut(
          props.dimensions.length,
          <a href="/methods/flagging">{say.reliability.howThatIsWorked}</a>,
        )}
      </p>
      <section class="table-scroll" tabindex={0} aria-label={say.reliability.allGroups}>
        <table>
          <thead>
            <tr>
              <th scope="col">{say.reliability.group}</th>
              <th scope="col">{say.reliability.joints2}</th>
              <th scope="col">{say.reliability.jointYears2}</th>
              <th scope="col">{say.reliability.leaks}</th>
              <th scope="col">{say.reliability.expected}</th>
              <th scope="col">{say.reliability.per1000JointYears}</th>
              <th scope="col">95 %</th>
              <th scope="col">{say.reliability.shrunkRatio}</th>
              <th scope="col">{say.reliability.pWorse}</th>
              <th scope="col">p</th>
              <th scope="col">{say.reliability.standsOut3}</th>
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
                <td>{group.flagged ? <b>{say.reliability.yes}</b> : say.reliability.no}</td>
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
      <h2 id="causes">{say.reliability.whatWasFound}</h2>
      <p class="soft">{say.reliability.ofTheseDays}</p>
      <ParetoPlot
        id="pareto"
        title={say.reliability.whatWasFound}
        bars={causes.slice(0, MOST_DRAWN)}
        together={say.reliability.addedUp}
      />
      <table>
        <thead>
          <tr>
            <th scope="col">{say.reliability.cause}</th>
            <th scope="col">{say.reliability.found}</th>
            <th scope="col">{say.reliability.upToHere}</th>
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

function Months({ months }: Pick<ReliabilityPageProps, 'months'>): JSX.Element | null {
  const watched = months.filter(({ jointYears }) => jointYears > 0)
  if (watched.length < 2) return null
  const rateOf = ({ leaks, jointYears }: (typeof watched)[number]) => (1000 * leaks) / jointYears
  const yearOf = (month: string) => Number(month.slice(0, 4)) + (Number(month.slice(5)) - 0.5) / 12
  const ends = [yearOf(watched[0]?.month ?? '') - 0.1, yearOf(watched.at(-1)?.month ?? '') + 0.1] as const
  return (
    <section class="sheet" aria-labelledby="months">
      <h2 id="months">{say.reliability.monthByMonth}</h2>
      <Curve
        id="months-plot"
        title={say.reliability.leaksByMonth}
        desc={say.reliability.leaksByMonthDesc(watched.length)}
        x={{ label: say.reliability.monthWord, format: yearTick, domain: ends }}
        y={{ label: say.reliability.leaksPer1000, fromZero: true }}
        readings={watched.map((month) => ({ x: yearOf(month.month), y: rateOf(month) }))}
        readingsLabel={say.reliability.oneMonth}
        table={{
          title: say.reliability.tableOfTheMonths,
          columns: [
            say.reliability.monthWord,
            say.reliability.signedOffWord,
            say.reliability.jointYears2,
            say.reliability.leaks,
            say.reliability.per1000JointYears,
          ],
          rows: watched.map((month) => [
            month.month,
            String(month.signedOff),
            month.jointYears.toFixed(2),
            String(month.leaks),
            per1000(rateOf(month)),
          ]),
        }}
      />
    </section>
  )
}

/** 2025.5 is the middle of that year. */
function yearTick(value: number): string {
  const month = Math.round((value - Math.floor(value)) * 12)
  return month === 0
    ? String(Math.floor(value))
    : `${Math.floor(value)}-${String(month + 1).padStart(2, '0')}`
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
      <h2 id="still-tight">{say.reliability.howManyAreStill}</h2>
      <p class="soft">
        {say.reliability.sinceTheirSignOff(
          props.ownOnly ? say.reliability.ofYourOwnJoints : say.reliability.ofAllJoints,
        )}
      </p>
      <Curve
        id="survival"
        title={say.reliability.shareOfJointsStill}
        desc={say.reliability.kaplanMeierEstimateOf}
        x={{ label: say.reliability.yearsSinceSignOff, fromZero: true }}
        y={{ label: say.reliability.stillTight, domain: [lowest, 100] }}
        readings={[]}
        fitted={{
          label: say.reliability.shareStillTight,
          points: stepped.map(({ years, share }) => ({ x: years, y: 100 * share })),
        }}
        band={{
          label: '95 %',
          points: stepped.map(({ years, low, high }) => ({ x: years, low: 100 * low, high: 100 * high })),
        }}
        table={{
          title: say.reliability.tableOfTheSteps,
          columns: [
            say.reliability.yearsWord,
            say.reliability.watchedWord,
            say.reliability.stillTight2,
            '95 %',
          ],
          rows: survival.map(({ years, atRisk, share, low, high }) => [
            years.toFixed(2),
            String(atRisk),
            `${(100 * share).toFixed(2)} %`,
            `${(100 * low).toFixed(2)}–${(100 * high).toFixed(2)} %`,
          ]),
        }}
        caption={<a href="/methods/survival">{say.reliability.howThatIsWorked}</a>}
      />
    </section>
  )
}
