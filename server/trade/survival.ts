/** What share of joints is still tight after a given time, when many have only been watched for a while? */
import { say } from '../words/say.ts'
import { normalQuantile } from './distributions.ts'
import { requireNotNegative, requireWithin } from './validity.ts'

export interface SurvivalStep {
  time: number
  atRisk: number
  events: number
  censored: number
  /** Share still tight just after this time. */
  survival: number
  /** Greenwood's standard error of it. */
  standardError: number
  /** 95 % interval on the log(−log) scale, which stays between 0 and 1. */
  low: number
  high: number
}

export interface Survival {
  steps: SurvivalStep[]
  /** First time at which the share falls to a half or below; null while it has not. */
  median: number | null
  events: number
  /** Sum of all times watched. */
  exposure: number
}

/**
 * Kaplan–Meier estimate with Greenwood's variance (Kaplan & Meier 1958; Greenwood 1926). Times (any unit) are zero or
 * more, `event` false when the joint was tight when last seen. An event and a censoring at the same time: the event
 * comes first. One step per time with an event. `weight` stands for so many joints of the same fate. Assumes that why a joint stopped being watched has nothing to do with
 * whether it leaks.
 */
export function kaplanMeier(
  joints: readonly { time: number; event: boolean; weight?: number | undefined }[],
  confidence = 0.95,
): Survival {
  const z = normalQuantile(1 - (1 - requireWithin(say.trade.confidence, confidence, 0.5, 0.9999)) / 2)
  let left = 0
  for (const { time, weight = 1 } of joints) {
    requireNotNegative(say.trade.time, time)
    left += requireNotNegative(say.trade.weight, weight)
  }
  const sorted = [...joints].sort((a, b) => a.time - b.time)
  const steps: SurvivalStep[] = []
  let survival = 1
  let greenwood = 0
  let median: number | null = null
  let index = 0
  while (index < sorted.length) {
    const time = sorted[index]?.time ?? 0
    const atRisk = left
    let events = 0
    let censored = 0
    while (index < sorted.length && sorted[index]?.time === time) {
      const { event = false, weight = 1 } = sorted[index] ?? {}
      if (event) events += weight
      else censored += weight
      left -= weight
      index += 1
    }
    if (events === 0) continue
    survival *= (atRisk - events) / atRisk
    if (atRisk > events) greenwood += events / (atRisk * (atRisk - events))
    const standardError = survival * Math.sqrt(greenwood)
    steps.push({
      time,
      atRisk,
      events,
      censored,
      survival,
      standardError,
      ...logLogBounds(survival, greenwood, z),
    })
    if (median === null && survival <= 0.5 + 1e-12) median = time
  }
  return {
    steps,
    median,
    events: joints.reduce((sum, { event, weight = 1 }) => sum + (event ? weight : 0), 0),
    exposure: joints.reduce((sum, { time, weight = 1 }) => sum + time * weight, 0),
  }
}

function logLogBounds(survival: number, greenwood: number, z: number): { low: number; high: number } {
  if (survival <= 0) return { low: 0, high: 0 }
  if (survival >= 1) return { low: 1, high: 1 }
  const logS = Math.log(survival)
  const spread = (z * Math.sqrt(greenwood)) / Math.abs(logS)
  return { low: survival ** Math.exp(spread), high: survival ** Math.exp(-spread) }
}

/** Share still tight at a time by an estimate: 1 before the first event. */
export function survivalAt(estimate: Survival, time: number): number {
  requireNotNegative(say.trade.time, time)
  let survival = 1
  for (const step of estimate.steps) {
    if (step.time > time) break
    survival = step.survival
  }
  return survival
}
