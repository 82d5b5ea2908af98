// Where does a company ask for less than the built-in criteria? Each on every certificate, in a sentence.

import { BUILT_IN_POLICY, EVIDENCE_PHOTOS, type Policy } from '../rules/policy.ts'
import { kilograms, kilopascals, microns, minutes, quantity } from '../rules/wording.ts'
import { INSTRUMENT_KINDS } from '../vocabulary.ts'

interface Compared {
  name: string
  own: number
  builtIn: number
  /** `more` is asked by a larger figure, `less` by a smaller one. */
  stricter: 'more' | 'less'
  say(value: number): string
}

const percent = (fraction: number) => `${Number((fraction * 100).toPrecision(4))} %`
const plain = (value: number) => String(Number(value.toPrecision(4)))
const kelvins = (value: number) => quantity(value, 'K')

export function looserThanBuiltIn(policy: Policy): string[] {
  const builtIn = BUILT_IN_POLICY
  const { pressure, vacuum, charge, running } = policy
  const figures: Compared[] = [
    figure('Pressure test, hold', pressure.holdS, builtIn.pressure.holdS, 'more', minutes),
    figure('Pressure test, settling time', pressure.settleS, builtIn.pressure.settleS, 'more', minutes),
    figure(
      'Pressure test, largest unseen fall as a share',
      pressure.bandFraction,
      builtIn.pressure.bandFraction,
      'less',
      percent,
    ),
    figure(
      'Pressure test, largest unseen fall at least',
      pressure.bandMinimumPa,
      builtIn.pressure.bandMinimumPa,
      'less',
      kilopascals,
    ),
    figure(
      'Pressure test, share of the temperature change that counts as uncertain',
      pressure.temperatureFollowing,
      builtIn.pressure.temperatureFollowing,
      'more',
      plain,
    ),
    figure('Evacuation, target', vacuum.targetPa, builtIn.vacuum.targetPa, 'less', microns),
    figure('Evacuation, limit while isolated', vacuum.limitPa, builtIn.vacuum.limitPa, 'less', microns),
    figure('Evacuation, time isolated', vacuum.holdS, builtIn.vacuum.holdS, 'more', minutes),
    figure('Evacuation, horizon', vacuum.horizonS, builtIn.vacuum.horizonS, 'more', minutes),
    figure(
      'Charge, tolerance at least',
      charge.toleranceMinimumKg,
      builtIn.charge.toleranceMinimumKg,
      'less',
      kilograms,
    ),
    figure(
      'Charge, tolerance as a share',
      charge.toleranceFraction,
      builtIn.charge.toleranceFraction,
      'less',
      percent,
    ),
    figure('Running check, steady time', running.steadyS, builtIn.running.steadyS, 'more', minutes),
    figure(
      'Running check, subcooling tolerance',
      running.subcoolingToleranceK,
      builtIn.running.subcoolingToleranceK,
      'less',
      kelvins,
    ),
    figure(
      'Running check, superheat tolerance',
      running.superheatToleranceK,
      builtIn.running.superheatToleranceK,
      'less',
      kelvins,
    ),
  ]
  const found = figures.filter(isLooser).map(({ name, own, builtIn: asked, say }) => {
    return `${name}: ${say(own)} instead of ${say(asked)}.`
  })
  for (const kind of INSTRUMENT_KINDS) {
    const asked = builtIn.confirmationDays[kind]
    const own = policy.confirmationDays[kind]
    if (asked === null || (own !== null && own <= asked)) continue
    const instead = own === null ? 'none asked for' : `every ${own} days`
    found.push(
      `Confirmation of each ${kind.replaceAll('-', ' ')}: ${instead} instead of every ${asked} days.`,
    )
  }
  const photos = EVIDENCE_PHOTOS.filter(
    (photo) => builtIn.evidence.photos.includes(photo) && !policy.evidence.photos.includes(photo),
  )
  if (photos.length > 0)
    found.push(`Photos not asked for: ${photos.map((photo) => photo.replaceAll('-', ' ')).join(', ')}.`)
  if (policy.bubbleSensitivity)
    found.push(
      `Bubbles are taken to find ${plain(policy.bubbleSensitivity.kgPerYear * 1000)} g/yr (${policy.bubbleSensitivity.source}).`,
    )
  if (policy.selfSignOff) found.push('Work may be signed off by somebody who did or recorded it.')
  return found
}

function figure(
  name: string,
  own: number,
  builtIn: number,
  stricter: Compared['stricter'],
  say: Compared['say'],
): Compared {
  return { name, own, builtIn, stricter, say }
}

/** A difference in the last digits of a conversion is none. */
const isLooser = ({ own, builtIn, stricter }: Compared): boolean => {
  const slack = Math.abs(builtIn) * 1e-9
  return stricter === 'more' ? own < builtIn - slack : own > builtIn + slack
}
