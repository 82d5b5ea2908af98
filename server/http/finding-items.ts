// How are findings put on a page? Numbers in units that people read, links to what each is about.

import type { ComponentChildren } from 'preact'
import type { FindingItem } from '../../views/parts/finding-list.tsx'
import type { JudgedNumberProps } from '../../views/parts/judged-number.tsx'
import type { Finding, JudgedNumber } from '../rules/finding.ts'
import { formatNumber, fromPascals, UNIT_LABELS } from '../trade/units.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'

export interface ItemOptions {
  jobId: string
  /** A form that belongs to a finding: to ask for a concession, to grant one. */
  formFor?(finding: Finding): ComponentChildren
}

/** Findings for a page: those that say the same of several subjects stand together. */
export function findingItems(findings: readonly Finding[], options: ItemOptions): FindingItem[] {
  const items: FindingItem[] = []
  for (const finding of findings) {
    const item = findingItem(finding, options)
    const alike = items.find((other) => saysTheSame(other, item))
    if (!alike) items.push(item)
    else alike.subjects = [...(alike.subjects ?? [subjectOf(alike)]), subjectOf(item)]
  }
  return items
}

const subjectOf = (item: FindingItem) => ({ label: item.subject, href: item.subjectHref })

/** What has numbers or a form of its own stands by itself. */
const saysTheSame = (one: FindingItem, other: FindingItem): boolean =>
  one.requirement === other.requirement &&
  one.outcome === other.outcome &&
  one.reason === other.reason &&
  one.nextAction === other.nextAction &&
  !one.numbers?.length &&
  !other.numbers?.length &&
  !one.children &&
  !other.children

export const findingItem = (finding: Finding, options: ItemOptions): FindingItem => ({
  id: `${finding.requirement}-${finding.subject.id}`,
  requirement: finding.requirement,
  title: finding.title,
  aboutHref: `/requirements/${finding.requirement}`,
  subject: finding.subject.name,
  subjectHref: hrefOf(finding, options.jobId),
  outcome: finding.outcome,
  reason: finding.reason,
  decisionRule:
    finding.decisionRule === null || finding.outcome === 'open'
      ? undefined
      : say.jobs.acceptance(coded(finding.decisionRule)),
  // Nothing was judged yet where something is missing.
  source: finding.outcome === 'open' ? undefined : finding.source,
  // Where nothing was recorded, a number is what is wanted, not what was found.
  numbers:
    finding.outcome === 'open' && finding.evidence.length === 0
      ? []
      : finding.numbers.flatMap((number) => judgedNumber(number, finding) ?? []),
  nextAction: finding.nextAction ?? undefined,
  nextHref: hrefOf(finding, options.jobId),
  children: options.formFor?.(finding),
})

function hrefOf({ subject }: Finding, jobId: string): string | undefined {
  if (subject.kind === 'joint') return `/joints/${subject.id}?job=${jobId}`
  if (subject.kind === 'instrument') return `/instruments/${subject.id}`
  if (subject.kind === 'system') return `/systems/${subject.id}`
  return undefined
}

/** Only numbers that have a range are drawn; the others stand in the reason. */
function judgedNumber(number: JudgedNumber, finding: Finding): JudgedNumberProps | null {
  if (number.value === null || (number.low === undefined && number.high === undefined)) return null
  const { scale, label } = readable(number)
  const shown = (si: number | undefined) => (si === undefined ? undefined : Number(scale(si).toPrecision(4)))
  return {
    label: number.name,
    value: formatNumber(scale(number.value)),
    unit: label,
    at: scale(number.value),
    low: shown(number.low),
    high: shown(number.high),
    uncertainty: number.uncertainty === undefined ? undefined : scale(number.uncertainty),
    ...verdictFor(number, finding),
    source: number.source,
  }
}

/** What lies outside a range that the requirement only warns by is no mark against it. */
function verdictFor(number: JudgedNumber, finding: Finding): Pick<JudgedNumberProps, 'verdict' | 'outcome'> {
  const verdict = verdictOf(number)
  return finding.outcome === 'met' && verdict === outOfRange()
    ? { verdict: say.jobs.outsideWhichAloneIs, outcome: 'not-applicable' }
    : { verdict, outcome: finding.outcome }
}
const outOfRange = () => say.jobs.outOfRange

/** Near a limit is said in words, so that nobody has to read it off the bar. */
function verdictOf({ value, low, high, uncertainty }: JudgedNumber): string {
  const isWithin = (margin: number) =>
    value !== null &&
    value - margin >= (low ?? Number.NEGATIVE_INFINITY) &&
    value + margin <= (high ?? Number.POSITIVE_INFINITY)
  if (!isWithin(0)) return outOfRange()
  return isWithin(uncertainty ?? 0) ? say.jobs.inRange : say.jobs.inRangeButNearer
}

/** Pascals as micron, kPa or MPa by their size, seconds as minutes, a flare's metres as millimetres; the rest as it is. */
function readable(number: JudgedNumber): { scale(si: number): number; label: string } {
  if (number.unit === 's') return { scale: (si) => si / 60, label: 'min' }
  if (number.unit === 'm' && largestOf(number) < 0.1)
    return { scale: (si) => si * 1000, label: UNIT_LABELS.mm }
  if (number.unit === 'kg/yr') return { scale: (si) => si * 1000, label: UNIT_LABELS['g/yr'] }
  if (number.unit !== 'Pa') return { scale: (si) => si, label: number.unit }
  const most = largestOf(number)
  const unit = most >= 500_000 ? 'MPa' : most >= 5000 ? 'kPa' : 'micron'
  return { scale: (si) => fromPascals(si, unit), label: UNIT_LABELS[unit] }
}

const largestOf = ({ value, low, high }: JudgedNumber): number =>
  Math.max(...[value, low, high].map((one) => Math.abs(one ?? 0)))
