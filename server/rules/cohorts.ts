// How do the lives of many joints add up, so that time in service can be had again without asking each joint?

import { AGE_BANDS, type PerAgeBand } from '../trade/exposure.ts'
import type { FlareMethod, JointKind, Line, RollupDimension, RollupPart } from '../vocabulary.ts'

/** One making of a joint of ours that a sign-off released. */
export interface Life {
  /** Of the making. */
  id: string
  jointId: string
  systemId: string
  jobId: string
  place: string
  line: Line
  tubeOdM: number
  kind: JointKind
  flareMethod: FlareMethod | null
  flaringToolId: string | null
  wrenchId: string | null
  flaredBy: string
  torquedBy: string
  model: string | null
  refrigerant: string
  madeAt: number
  signedOffAt: number
  /** When it was made again or taken out; null while it is in service. */
  endedAt: number | null
  /** False where it was made again before any sign-off. */
  served: boolean
  leakAt: number | null
  leakCallbackId: string | null
  leakCause: string | null
  inspectedAt: number | null
  acceptedAtOnce: boolean | null
  torqueNm: number | null
}

/** A sum over lives: so many of one part in one period, and how far into it their moments are, added up. */
export interface CohortRow {
  dimension: RollupDimension
  key: string
  part: RollupPart
  period: number
  count: number
  offsetMs: number
}

export const NOT_KNOWN = 'not-known'

/** What a life is grouped by in each dimension; by person, whoever made the flare. */
export const KEY_OF: Record<RollupDimension, (life: Life) => string> = {
  all: () => '',
  position: ({ place, line }) => `${place}/${line}`,
  tubeOd: ({ tubeOdM }) => String(tubeOdM),
  kind: ({ kind }) => kind,
  flareMethod: ({ flareMethod }) => flareMethod ?? NOT_KNOWN,
  flaringTool: ({ flaringToolId }) => flaringToolId ?? NOT_KNOWN,
  wrench: ({ wrenchId }) => wrenchId ?? NOT_KNOWN,
  technician: ({ flaredBy }) => flaredBy,
  model: ({ model }) => model ?? NOT_KNOWN,
  refrigerant: ({ refrigerant }) => refrigerant,
  month: ({ madeAt }) => new Date(madeAt).toISOString().slice(0, 7),
}
const DIMENSIONS = Object.entries(KEY_OF) as [RollupDimension, (life: Life) => string][]

const TORQUE_CAUSES: ReadonlySet<string> = new Set(['over-torque', 'under-torque'])

/** Whom a leak counts against: a wrong torque is whose who pulled it; what is not known is the flare’s. */
export const answersFor = (life: Pick<Life, 'leakCause' | 'torquedBy' | 'flaredBy'>): string =>
  life.leakCause !== null && TORQUE_CAUSES.has(life.leakCause) ? life.torquedBy : life.flaredBy

// ---------------------------------------------------------------- calendar

export const DAY_MS = 86_400_000
const YEAR_MS = 365.25 * DAY_MS
const AGE_MONTH_MS = YEAR_MS / 12

/** Months since 1970, by UTC. */
export function monthOf(at: number): number {
  const date = new Date(at)
  return (date.getUTCFullYear() - 1970) * 12 + date.getUTCMonth()
}

export const startOfMonth = (month: number): number =>
  Date.UTC(1970 + Math.floor(month / 12), ((month % 12) + 12) % 12, 1)

/** As 2026-03. */
export const monthName = (month: number): string => new Date(startOfMonth(month)).toISOString().slice(0, 7)

const dayOf = (at: number): number => Math.floor(at / DAY_MS)

// ---------------------------------------------------------------- adding up

const GONE = ['gone-0', 'gone-1', 'gone-2', 'gone-3'] as const
const LEFT = ['left-0', 'left-1', 'left-2', 'left-3'] as const

/** The first age band that a life did not live through: it left in it, or it leaked in it. */
export function bandOfAge(ageMs: number): 0 | 1 | 2 | 3 {
  const band = AGE_BANDS.findIndex(({ toMonths }) => ageMs < toMonths * AGE_MONTH_MS)
  return (band === -1 ? 3 : band) as 0 | 1 | 2 | 3
}

/**
 * What one life adds. It enters in the month of its sign-off. Once it has leaked, was made again or taken out, it is
 * `gone` for the month in which it entered, `left` in the month in which that happened (both by the age it had), and it
 * had an age in calendar months.
 */
export function cohortsOf(life: Life): CohortRow[] {
  const rows: CohortRow[] = []
  if (life.served) {
    const entered = monthOf(life.signedOffAt)
    const enteredMs = life.signedOffAt - startOfMonth(entered)
    const leftAt = leavingOf(life)
    for (const [dimension, keyOf] of DIMENSIONS) {
      const key = keyOf(life)
      rows.push({ dimension, key, part: 'entered', period: entered, count: 1, offsetMs: enteredMs })
      if (leftAt === null) continue
      const band = bandOfAge(leftAt - life.signedOffAt)
      const left = monthOf(leftAt)
      rows.push(
        { dimension, key, part: GONE[band], period: entered, count: 1, offsetMs: enteredMs },
        { dimension, key, part: LEFT[band], period: left, count: 1, offsetMs: leftAt - startOfMonth(left) },
        {
          dimension,
          key,
          part: life.leakAt === null ? 'age-tight' : 'age-leaked',
          period: left - entered,
          count: 1,
          offsetMs: 0,
        },
      )
    }
  }
  if (life.inspectedAt !== null) {
    const of = { dimension: 'all', key: '', period: dayOf(life.inspectedAt), count: 1, offsetMs: 0 } as const
    rows.push({ ...of, part: 'inspected' })
    if (life.acceptedAtOnce) rows.push({ ...of, part: 'accepted' })
  }
  return rows
}

/** When it stopped being watched: at its leak, or at its end. */
export const leavingOf = ({ leakAt, endedAt }: Pick<Life, 'leakAt' | 'endedAt'>): number | null =>
  leakAt ?? endedAt

/** Sums with the same name become one; those that come to nothing are left out, and the order is always the same. */
export function addedUp(signed: Iterable<{ life: Life; sign: 1 | -1 }>): CohortRow[] {
  const sums = new Map<string, CohortRow>()
  for (const { life, sign } of signed)
    for (const row of cohortsOf(life)) {
      const name = nameOf(row)
      const sum = sums.get(name)
      if (sum) {
        sum.count += sign * row.count
        sum.offsetMs += sign * row.offsetMs
      } else sums.set(name, { ...row, count: sign * row.count, offsetMs: sign * row.offsetMs })
    }
  return [...sums]
    .filter(([, { count, offsetMs }]) => count !== 0 || offsetMs !== 0)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([, row]) => row)
}

/** What a sum is of; no two have the same. */
export const nameOf = ({
  dimension,
  key,
  part,
  period,
}: Pick<CohortRow, 'dimension' | 'key' | 'part' | 'period'>): string =>
  [dimension, key, part, period].join('\n')

// ---------------------------------------------------------------- time in service

export interface Span {
  from: number
  to: number
}

/** Joint-years by age band, and by how much each may be off. */
export interface CohortExposure {
  jointYears: PerAgeBand
  /** Half the distance between the least and the most that such sums allow. */
  within: PerAgeBand
  /** How many were in service at some time in the span. */
  joints: number
}

/**
 * Time in service within a span, from sums alone. A life of which is known that it entered at s and left at x was in
 * service, up to T, for R(T − s) − R(T − x) with R(u) = max(0, u); below the age A it "leaves" at the earlier of x and
 * s + A. R is linear on either side of zero, so that a month wholly before T adds exactly count·T − sum, and one wholly after
 * it nothing. Only in the month that T lies in, the sum does not say all: R is convex, hence between what it would be with
 * all of them at their mean and with all of them at the month's ends; the middle of the two is taken, and half their
 * distance is `within`: never more than an eighth of a month for each joint of that month. With a span that
 * ends now, only the shares of the age bands are touched by that, never their sum.
 */
export function exposureOf(rows: readonly CohortRow[], span: Span, now: number): CohortExposure {
  const upTo = span.to
  const jointMs: PerAgeBand = [0, 0, 0, 0]
  const within: PerAgeBand = [0, 0, 0, 0]
  let joints = 0
  for (const row of rows) {
    const kind = row.part === 'entered' ? 'entered' : row.part.slice(0, 4)
    if (kind !== 'entered' && kind !== 'gone' && kind !== 'left') continue
    const first = kind === 'entered' ? 0 : Number(row.part.slice(5))
    const start = startOfMonth(row.period)
    const end = Math.max(start + 1, Math.min(startOfMonth(row.period + 1), now))
    const ramp = (later: number) => {
      const until = rampOf(row, start + later, end + later, upTo)
      if (span.from <= 0) return until
      const before = rampOf(row, start + later, end + later, span.from)
      return { value: until.value - before.value, within: until.within + before.within }
    }
    const now0 = kind === 'gone' ? NO_TIME : ramp(0)
    // What is below the age A, for each A from the first that this row counts for; a band is what lies between two of them.
    let below = NO_TIME
    for (const band of BANDS) {
      if (band < first) continue
      const age = (AGE_BANDS[band]?.toMonths ?? 0) * AGE_MONTH_MS
      const aged = kind === 'left' || !Number.isFinite(age) ? NO_TIME : ramp(age)
      const sign = kind === 'left' ? -1 : 1
      const reached = {
        value: kind === 'gone' ? aged.value : sign * now0.value - aged.value,
        within: now0.within + aged.within,
      }
      jointMs[band] += reached.value - below.value
      within[band] += reached.within + below.within
      below = reached
    }
    const share = (moment: number) => Math.min(1, Math.max(0, (moment - start) / (end - start)))
    if (kind === 'entered') joints += row.count * share(span.to)
    if (kind === 'left') joints -= row.count * share(span.from)
  }
  const inYears = (ms: number) => Math.max(0, ms / YEAR_MS)
  return {
    jointYears: [inYears(jointMs[0]), inYears(jointMs[1]), inYears(jointMs[2]), inYears(jointMs[3])],
    within: [inYears(within[0]), inYears(within[1]), inYears(within[2]), inYears(within[3])],
    joints: Math.round(joints),
  }
}

const BANDS = [0, 1, 2, 3] as const
const NO_TIME = { value: 0, within: 0 }

/** The sum of max(0, T − x) over the moments x of a row, which lie between two ends: its middle, and how far off it may be. */
function rampOf(
  { count, offsetMs }: CohortRow,
  from: number,
  to: number,
  moment: number,
): { value: number; within: number } {
  if (moment <= from || count === 0) return { value: 0, within: 0 }
  const mean = from + offsetMs / count
  if (moment >= to) return { value: count * (moment - mean), within: 0 }
  const least = count * Math.max(0, moment - mean)
  const most = (count * (moment - from) * (to - mean)) / (to - from)
  return { value: (least + most) / 2, within: Math.max(0, most - least) / 2 }
}

/** What happened in one calendar month, all joints together. */
export interface Month {
  month: string
  signedOff: number
  jointYears: number
}

/** Time in service month by month, which the sums say exactly; the present month as far as it has gone. */
export function monthsOf(rows: readonly CohortRow[], span: Span, now: number): Month[] {
  const moves = new Map<number, { signedOff: number; count: number; offsetMs: number }>()
  for (const { part, period, count, offsetMs } of rows) {
    const sign = part === 'entered' ? 1 : part.startsWith('left-') ? -1 : 0
    if (sign === 0) continue
    const move = moves.get(period) ?? { signedOff: 0, count: 0, offsetMs: 0 }
    if (sign === 1) move.signedOff += count
    move.count += sign * count
    move.offsetMs += sign * offsetMs
    moves.set(period, move)
  }
  const months: Month[] = []
  let inService = 0
  if (moves.size === 0) return months
  for (let month = Math.min(...moves.keys()); month <= monthOf(Math.min(span.to, now)); month += 1) {
    const start = startOfMonth(month)
    const length = Math.min(startOfMonth(month + 1), now) - start
    const move = moves.get(month) ?? { signedOff: 0, count: 0, offsetMs: 0 }
    const jointYears = ((inService + move.count) * length - move.offsetMs) / YEAR_MS
    inService += move.count
    if (startOfMonth(month + 1) > span.from)
      months.push({ month: monthName(month), signedOff: move.signedOff, jointYears: Math.max(0, jointYears) })
  }
  return months
}

// ---------------------------------------------------------------- ages

/** How long each life was watched, in whole calendar months, and how that ended; `count` of them alike. */
export interface WatchedFor {
  months: number
  leaked: boolean
  count: number
}

/** From sums: those that left had an age; those that did not are as old as their month of entry is now. */
export function agesOf(rows: readonly CohortRow[], now: number): WatchedFor[] {
  const present = monthOf(now)
  const inService = new Map<number, number>()
  const ages: WatchedFor[] = []
  for (const { part, period, count } of rows) {
    if (part === 'age-leaked' || part === 'age-tight')
      ages.push({ months: period, leaked: part === 'age-leaked', count })
    else if (part === 'entered') inService.set(period, (inService.get(period) ?? 0) + count)
    else if (part.startsWith('gone-')) inService.set(period, (inService.get(period) ?? 0) - count)
  }
  for (const [month, count] of inService)
    if (count > 0) ages.push({ months: Math.max(0, present - month), leaked: false, count })
  return ages.filter(({ count }) => count > 0)
}
