// Which instants do the times of a clock on the wall stand for? Also where the clocks were changed in the middle of a log.

import { say } from '../words/say.ts'
import { writtenOffset } from './cells.ts'

/** An IANA name, or a fixed offset such as "+02:00". */
export function isZone(zone: string): boolean {
  if (/^[+-](?:0\d|1[0-4]):[0-5]\d$/.test(zone)) return true
  if (!/^[A-Za-z][\w+/-]{1,63}$/.test(zone)) return false
  try {
    formatterOf(zone)
    return true
  } catch {
    return false
  }
}

const formatters = new Map<string, Intl.DateTimeFormat>()

function formatterOf(zone: string): Intl.DateTimeFormat {
  const kept = formatters.get(zone)
  if (kept) return kept
  const made = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    calendar: 'iso8601',
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
  })
  // As many as there are zones; whoever names more is not remembered.
  if (formatters.size < 600) formatters.set(zone, made)
  return made
}

/** What a clock on the wall shows at an instant, as if that were in UTC; both in ms. */
export function localAt(at: number, zone: string): number {
  return at + offsetAt(at, zone)
}

function offsetAt(at: number, zone: string): number {
  if (/^[+-]/.test(zone)) return writtenOffset(zone)
  const whole = Math.floor(at / 1000) * 1000
  const part: Record<string, number> = {}
  for (const { type, value } of formatterOf(zone).formatToParts(new Date(whole))) part[type] = Number(value)
  const local = Date.UTC(
    part.year ?? 1970,
    (part.month ?? 1) - 1,
    part.day ?? 1,
    part.hour ?? 0,
    part.minute ?? 0,
    part.second ?? 0,
  )
  return local - whole
}

/** The instant of one local time; of two that are possible the earlier. */
export function instantOf(local: number, zone: string): number {
  return possible(local, zone)[0]
}

/** One instant; two in the hour that comes twice; for a time that no clock showed, as if none had been changed. */
function possible(local: number, zone: string): [number, ...number[]] {
  const before = offsetAt(local - 24 * 3_600_000, zone)
  const after = offsetAt(local + 24 * 3_600_000, zone)
  const [first, ...others] = [...new Set([before, after])]
    .filter((offset) => offsetAt(local - offset, zone) === offset)
    .map((offset) => local - offset)
    .sort((a, b) => a - b)
  return first === undefined ? [local - before] : [first, ...others]
}

export interface Placed {
  at: number[]
  /** What was assumed of clocks that were changed; null where none were. */
  note: string | null
}

/**
 * Local times in the order they were written. Where the clocks were changed in between, the log itself tells whether
 * its own clock was: by an hour that is written twice, or by one that is written although no clock showed it.
 */
export function instantsOf(locals: readonly number[], zone: string): Placed {
  const [first] = locals
  const last = locals.at(-1)
  if (first === undefined || last === undefined) return { at: [], note: null }
  const start = instantOf(first, zone)
  const before = first - start
  // Only a clock that was turned back can have come to the hour that is there twice for the second time.
  const turned = locals.findIndex((local, index) => index > 0 && local < (locals[index - 1] ?? local))
  const ends = possible(last, zone)
  const after = last - ((turned === -1 ? ends[0] : ends.at(-1)) ?? last)
  if (before === after) return { at: locals.map((local) => local - before), note: null }
  const kept = (note: string): Placed => ({ at: locals.map((local) => local - before), note })
  if (after > before) {
    const skippedFrom = changeBetween(start, last - after, zone) + before
    const skippedTo = skippedFrom + after - before
    if (locals.some((local) => local >= skippedFrom && local < skippedTo))
      return kept(say.gaugeLogs.theClocksWentForward)
    return {
      at: locals.map((local) => local - (local < skippedFrom ? before : after)),
      note: say.gaugeLogs.theClocksWentForwardDuring,
    }
  }
  if (turned === -1) return kept(say.gaugeLogs.theClocksWentBack)
  return {
    at: locals.map((local, index) => local - (index < turned ? before : after)),
    note: say.gaugeLogs.theClocksWentBackDuring,
  }
}

/** When the offset became another one, to the second. */
function changeBetween(from: number, to: number, zone: string): number {
  const old = offsetAt(from, zone)
  let [low, high] = [from, to]
  while (high - low > 1000) {
    const middle = Math.floor((low + high) / 2)
    if (offsetAt(middle, zone) === old) low = middle
    else high = middle
  }
  return Math.ceil(high / 1000) * 1000
}
