// How does a certificate say where a company asks for less than the built-in criteria? Each in a sentence.

import { type LooserCriterion, looserThanBuiltIn } from '../rules/looser-criteria.ts'
import type { Policy } from '../rules/policy.ts'
import { kilograms, kilopascals, microns, minutes, quantity } from '../rules/wording.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'

type Say = (value: number) => string

const percent: Say = (fraction) => `${plain(fraction * 100)} %`
const plain: Say = (value) => String(Number(value.toPrecision(4)))
const kelvins: Say = (value) => quantity(value, 'K')

const theFigures = (): Record<string, { title: string; wordOf: Say }> => ({
  'pressure.holdS': { title: say.certificates.pressureTestHold, wordOf: minutes },
  'pressure.settleS': { title: say.certificates.pressureTestSettlingTime, wordOf: minutes },
  'pressure.bandFraction': { title: say.certificates.pressureTestLargestUnseen, wordOf: percent },
  'pressure.bandMinimumPa': { title: say.certificates.pressureTestLargestUnseenFall, wordOf: kilopascals },
  'pressure.temperatureFollowing': {
    title: say.certificates.pressureTestShareOf,
    wordOf: plain,
  },
  'vacuum.targetPa': { title: say.certificates.evacuationTarget, wordOf: microns },
  'vacuum.limitPa': { title: say.certificates.evacuationLimitWhileIsolated, wordOf: microns },
  'vacuum.holdS': { title: say.certificates.evacuationTimeIsolated, wordOf: minutes },
  'vacuum.horizonS': { title: say.certificates.evacuationHorizon, wordOf: minutes },
  'charge.toleranceMinimumKg': { title: say.certificates.chargeToleranceAtLeast, wordOf: kilograms },
  'charge.toleranceFraction': { title: say.certificates.chargeToleranceAsA, wordOf: percent },
  'running.steadyS': { title: say.certificates.runningCheckSteadyTime, wordOf: minutes },
  'running.subcoolingToleranceK': {
    title: say.certificates.runningCheckSubcoolingTolerance,
    wordOf: kelvins,
  },
  'running.superheatToleranceK': { title: say.certificates.runningCheckSuperheatTolerance, wordOf: kelvins },
})

export function looserInWords(policy: Policy): string[] {
  return looserThanBuiltIn(policy).map((looser) => sentence(looser, policy))
}

function sentence({ path, builtIn, set }: LooserCriterion, policy: Policy): string {
  const figure = theFigures()[path]
  if (figure && typeof set === 'number' && typeof builtIn === 'number') {
    const { title, wordOf } = figure
    return say.certificates.insteadOf(title, wordOf(set), wordOf(builtIn))
  }
  const [, kind] = /^confirmationDays\.(.*)$/.exec(path) ?? []
  if (kind !== undefined) {
    const own = set === null ? say.certificates.noneAskedFor : say.certificates.everyDays(String(set))
    return say.certificates.confirmationOfEachInstead(coded(kind), own, String(builtIn))
  }
  if (path === 'evidence.photos' && Array.isArray(builtIn) && Array.isArray(set)) {
    const left = builtIn.filter((photo) => !set.includes(photo))
    return say.certificates.photosNotAskedFor(left.map((photo) => coded(photo)).join(', '))
  }
  if (policy.bubbleSensitivity && path.startsWith('bubbleSensitivity'))
    return say.certificates.bubblesAreTakenTo(
      plain(policy.bubbleSensitivity.kgPerYear * 1000),
      policy.bubbleSensitivity.source,
    )
  if (path === 'selfSignOff') return say.certificates.workMayBeSigned
  // A criterion that this file has no words for must not be left out.
  return say.certificates.insteadOf(path, String(set), String(builtIn))
}
