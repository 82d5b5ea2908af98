// How are the ways to look at what comes back called, and what is there to do about a group that stands out?

import type { ReliabilityDimension } from '../../server/vocabulary.ts'

export const DIMENSION_WORDS: Record<ReliabilityDimension, string> = {
  position: 'place of the joint',
  tubeOd: 'tube size',
  kind: 'kind of joint',
  flareMethod: 'way of flaring',
  flaringTool: 'flaring tool',
  wrench: 'torque wrench',
  technician: 'who made it',
  model: 'outdoor model',
  refrigerant: 'refrigerant',
  month: 'month it was made',
}

export const WHAT_TO_DO: Record<ReliabilityDimension, string> = {
  position: 'Look at its joints that are still in service, and at how that place is reached.',
  tubeOd: 'Measure a sample flare of that size with each tool, and compare with the band of the sheet.',
  kind: 'Ask for the maker’s instruction of that kind of joint, and watch the next one being made.',
  flareMethod: 'Measure sample flares made that way before the next job.',
  flaringTool: 'Take the tool out of use until a sample flare of each size was measured. Look at its joints.',
  wrench: 'Have the wrench checked before its next use. If it is off, open its recall.',
  technician:
    'Make a joint together. What stands out may lie in the tools, the places or the jobs: look at those first.',
  model: 'Look at how that model’s joints are reached, and ask its maker.',
  refrigerant: 'Look at the pressure and the torque that were asked for with that refrigerant.',
  month: 'Look at what was different then: weather, tools that were lent, hurry.',
}
