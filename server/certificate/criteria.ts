// How does a certificate say where a company asks for less than the built-in criteria? Each in a sentence.

import { type LooserCriterion, looserThanBuiltIn } from '../rules/looser-criteria.ts'
import type { Policy } from '../rules/policy.ts'
import { kilograms, kilopascals, microns, minutes, quantity } from '../rules/wording.ts'

type Say = (value: number) => string

const percent: Say = (fraction) => `${plain(fraction * 100)} %`
const plain: Say = (value) => String(Number(value.toPrecision(4)))
const kelvins: Say = (value) => quantity(value, 'K')

const FIGURES: Record<string, [name: string, say: Say]> = {
  'pressure.holdS': ['Pressure test, hold', minutes],
  'pressure.settleS': ['Pressure test, settling time', minutes],
  'pressure.bandFraction': ['Pressure test, largest unseen fall as a share', percent],
  'pressure.bandMinimumPa': ['Pressure test, largest unseen fall at least', kilopascals],
  'pressure.temperatureFollowing': [
    'Pressure test, share of the temperature change that counts as uncertain',
    plain,
  ],
  'vacuum.targetPa': ['Evacuation, target', microns],
  'vacuum.limitPa': ['Evacuation, limit while isolated', microns],
  'vacuum.holdS': ['Evacuation, time isolated', minutes],
  'vacuum.horizonS': ['Evacuation, horizon', minutes],
  'charge.toleranceMinimumKg': ['Charge, tolerance at least', kilograms],
  'charge.toleranceFraction': ['Charge, tolerance as a share', percent],
  'running.steadyS': ['Running check, steady time', minutes],
  'running.subcoolingToleranceK': ['Running check, subcooling tolerance', kelvins],
  'running.superheatToleranceK': ['Running check, superheat tolerance', kelvins],
}

export function looserInWords(policy: Policy): string[] {
  return looserThanBuiltIn(policy).map((looser) => sentence(looser, policy))
}

function sentence({ path, builtIn, set }: LooserCriterion, policy: Policy): string {
  const figure = FIGURES[path]
  if (figure && typeof set === 'number' && typeof builtIn === 'number') {
    const [name, say] = figure
    return `${name}: ${say(set)} instead of ${say(builtIn)}.`
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
