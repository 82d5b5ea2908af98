// How does a certificate say where a company asks for less than the built-in criteria? Each in a sentence.

import { type LooserCriterion, looserThanBuiltIn } from '../rules/looser-criteria.ts'
import type { Policy } from '../rules/policy.ts'
import { kilograms, kilopascals, microns, minutes, quantity } from '../rules/wording.ts'

type Say = (value: number) => string

const percent: Say = (fraction) => `${plain(fraction * 100)} %`
const plain: Say = (value) => String(Number(value.toPrecision(4)))
const kelvins: Say = (value) => quantity(value, 'K')

const FIGURES: Record<string, { title: string; wordOf: Say }> = {
  'pressure.holdS': { title: 'Pressure test, hold', wordOf: minutes },
  'pressure.settleS': { title: 'Pressure test, settling time', wordOf: minutes },
  'pressure.bandFraction': { title: 'Pressure test, largest unseen fall as a share', wordOf: percent },
  'pressure.bandMinimumPa': { title: 'Pressure test, largest unseen fall at least', wordOf: kilopascals },
  'pressure.temperatureFollowing': {
    title: 'Pressure test, share of the temperature change that counts as uncertain',
    wordOf: plain,
  },
  'vacuum.targetPa': { title: 'Evacuation, target', wordOf: microns },
  'vacuum.limitPa': { title: 'Evacuation, limit while isolated', wordOf: microns },
  'vacuum.holdS': { title: 'Evacuation, time isolated', wordOf: minutes },
  'vacuum.horizonS': { title: 'Evacuation, horizon', wordOf: minutes },
  'charge.toleranceMinimumKg': { title: 'Charge, tolerance at least', wordOf: kilograms },
  'charge.toleranceFraction': { title: 'Charge, tolerance as a share', wordOf: percent },
  'running.steadyS': { title: 'Running check, steady time', wordOf: minutes },
  'running.subcoolingToleranceK': { title: 'Running check, subcooling tolerance', wordOf: kelvins },
  'running.superheatToleranceK': { title: 'Running check, superheat tolerance', wordOf: kelvins },
}

export function looserInWords(policy: Policy): string[] {
  return looserThanBuiltIn(policy).map((looser) => sentence(looser, policy))
}

function sentence({ path, builtIn, set }: LooserCriterion, policy: Policy): string {
  const figure = FIGURES[path]
  if (figure && typeof set === 'number' && typeof builtIn === 'number') {
    const { title, wordOf } = figure
    return `${title}: ${wordOf(set)} instead of ${wordOf(builtIn)}.`
  }
  const [, kind] = /^confirmationDays\.(.*)$/.exec(path) ?? []
  if (kind !== undefined) {
    const own = set === null ? 'none asked for' : `every ${String(set)} days`
    return `Confirmation of each ${kind.replaceAll('-', ' ')}: ${own} instead of every ${String(builtIn)} days.`
  }
  if (path === 'evidence.photos' && Array.isArray(builtIn) && Array.isArray(set)) {
    const left = builtIn.filter((photo) => !set.includes(photo))
    return `Photos not asked for: ${left.map((photo) => photo.replaceAll('-', ' ')).join(', ')}.`
  }
  if (policy.bubbleSensitivity && path.startsWith('bubbleSensitivity'))
    return `Bubbles are taken to find ${plain(policy.bubbleSensitivity.kgPerYear * 1000)} g/yr (${policy.bubbleSensitivity.source}).`
  if (path === 'selfSignOff') return 'Work may be signed off by somebody who did or recorded it.'
  // A criterion that this file has no words for must not be left out.
  return `${path}: ${String(set)} instead of ${String(builtIn)}.`
}
