// On how many of a hundred jobs is a requirement not met, month by month, and how sure is that?

import { scaleLinear } from 'd3-scale'
import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { RequirementCode } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { type Option, SelectField } from '../parts/field.tsx'
import { RegisterTabs } from './index.tsx'

interface Share {
  jobs: number
  withIt: number
  per100: { share: number; low: number; high: number } | null
}

export interface NonconformityTrendProps {
  shell: Shell
  open: number
  requests: number
  asked: { requirement: string; months: number }
  options: readonly Option[]
  requirement: RequirementCode | null
  months: readonly (Share & { month: string })[]
  requirements: readonly (Share & { requirement: RequirementCode; title: string })[]
}

export function NonconformityTrend(props: NonconformityTrendProps): JSX.Element {
  const { asked, months, options } = props
  const title = options.find(({ value }) => value === asked.requirement)?.label
  const isEmpty = months.every(({ jobs }) => jobs === 0)
  return (
    <Layout {...props.shell} title={say.nonconformities.trendTitle}>
      <h1>{say.nonconformities.trendTitle}</h1>
      <p class="lead">{say.nonconformities.trendLead}</p>
      <RegisterTabs here="trend" open={props.open} requests={props.requests} />
      <form method="get" action="/nonconformities/trend" class="audit-filters">
        <SelectField
          name="requirement"
          label={say.nonconformities.requirement}
          value={asked.requirement}
          options={[{ value: '', label: say.nonconformities.allRequirements }, ...options]}
        />
        <SelectField
          name="months"
          label={say.nonconformities.months}
          value={String(asked.months)}
          options={[...new Set([12, 24, 60, asked.months])]
            .toSorted((a, b) => a - b)
            .map((many) => ({ value: String(many), label: say.nonconformities.lastMonths(many) }))}
        />
        <Button kind="other">{say.nonconformities.show}</Button>
      </form>
      {isEmpty ? (
        <Empty title={say.nonconformities.noJobs}>{say.nonconformities.noJobsYet}</Empty>
      ) : (
        <>
          <section class="sheet" aria-labelledby="by-month">
            <h2 id="by-month">
              {title === undefined ? say.nonconformities.per100 : say.nonconformities.per100Of(title)}
            </h2>
            <SharePlot id="share" title={title ?? say.nonconformities.allRequirements} months={months} />
            <details>
              <summary>{say.nonconformities.theNumbers}</summary>
              <ShareTable
                first={say.nonconformities.month}
                rows={months.map(({ month, ...share }) => ({ key: month, label: month, ...share }))}
              />
            </details>
            <p class="soft">
              {say.nonconformities.howCounted(
                <a href="/methods/clopper-pearson">{say.nonconformities.howItIsCounted}</a>,
              )}
            </p>
          </section>
          {props.requirements.length === 0 ? null : (
            <section class="sheet" aria-labelledby="by-requirement">
              <h2 id="by-requirement">{say.nonconformities.byRequirement}</h2>
              <ShareTable
                first={say.nonconformities.requirement}
                rows={props.requirements.map(({ requirement, title: label, ...share }) => ({
                  key: requirement,
                  label,
                  href: `/nonconformities/trend?requirement=${requirement}&months=${asked.months}`,
                  ...share,
                }))}
              />
            </section>
          )}
        </>
      )}
    </Layout>
  )
}

function ShareTable(props: {
  first: string
  rows: readonly (Share & { key: string; label: string; href?: string })[]
}): JSX.Element {
  return (
    <table class="stack numbers">
      <thead>
        <tr>
          <th scope="col">{props.first}</th>
          <th scope="col">{say.nonconformities.jobsJudged}</th>
          <th scope="col">{say.nonconformities.jobsWith}</th>
          <th scope="col">{say.nonconformities.per100}</th>
          <th scope="col">{say.nonconformities.interval}</th>
        </tr>
      </thead>
      <tbody>
        {props.rows.map((row) => (
          <tr key={row.key}>
            <td>{row.href === undefined ? row.label : <a href={row.href}>{row.label}</a>}</td>
            <td data-label={say.nonconformities.jobsJudged}>{row.jobs}</td>
            <td data-label={say.nonconformities.jobsWith}>{row.withIt}</td>
            <td data-label={say.nonconformities.per100}>{row.per100 ? shown(row.per100.share) : '–'}</td>
            <td data-label={say.nonconformities.interval}>
              {row.per100
                ? say.nonconformities.intervalOf(shown(row.per100.low), shown(row.per100.high))
                : '–'}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const shown = (figure: number): string => figure.toFixed(1)

const WIDTH = 360
const HEIGHT = 200
const LEFT = 30
const RIGHT = 352
const TOP = 30
const BOTTOM = 176

/** A dot and its interval for each month that had jobs; a month without any has none. */
export function SharePlot(props: {
  id: string
  title: string
  months: NonconformityTrendProps['months']
}): JSX.Element {
  const { months } = props
  const y = scaleLinear().domain([0, 100]).range([BOTTOM, TOP])
  const step = (RIGHT - LEFT) / months.length
  const x = (index: number) => (LEFT + (index + 0.5) * step).toFixed(1)
  const put = (figure: number) => y(figure).toFixed(1)
  // The last month is always named; before it every few, where there is room.
  const every = months.length <= 12 ? 3 : months.length <= 24 ? 6 : 12
  return (
    <svg
      class="rate-plot"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      role="img"
      aria-labelledby={`${props.id}-title ${props.id}-desc`}
    >
      <title id={`${props.id}-title`}>{say.nonconformities.per100Of(props.title)}</title>
      <desc id={`${props.id}-desc`}>
        {months
          .flatMap(({ month, jobs, per100 }) =>
            per100
              ? [
                  say.nonconformities.readsAs(
                    month,
                    shown(per100.share),
                    shown(per100.low),
                    shown(per100.high),
                    jobs,
                  ),
                ]
              : [],
          )
          .join('; ')}
      </desc>
      {y.ticks(4).map((tick) => (
        <g key={tick}>
          <path class="curve-grid" d={`M${LEFT} ${put(tick)}H${RIGHT}`} />
          <text class="curve-text" x={LEFT - 5} y={y(tick) + 4} text-anchor="end">
            {tick}
          </text>
        </g>
      ))}
      {months.map(({ month, per100 }, index) => (
        <g key={month} class="rate">
          {per100 === null ? null : (
            <>
              <path class="curve-whisker" d={`M${x(index)} ${put(per100.low)}V${put(per100.high)}`} />
              <circle class="rate-mark" cx={x(index)} cy={put(per100.share)} r={3.4} />
            </>
          )}
          {(months.length - 1 - index) % every === 0 ? (
            <text
              class="curve-text"
              x={index === months.length - 1 ? RIGHT : x(index)}
              y={BOTTOM + 16}
              text-anchor={index === months.length - 1 ? 'end' : 'middle'}
            >
              {month}
            </text>
          ) : null}
        </g>
      ))}
      <text class="curve-text curve-name" x={4} y={12} text-anchor="start">
        {say.nonconformities.per100}
      </text>
    </svg>
  )
}
