// How are the ways to look at what comes back called, and what is there to do about a group that stands out?

import type { ReliabilityDimension } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'

export const dimensionWords = (): Record<ReliabilityDimension, string> => ({
  position: say.reliability.placeOfTheJoint,
  tubeOd: say.reliability.tubeSize,
  kind: say.reliability.kindOfJoint,
  flareMethod: say.reliability.wayOfFlaring,
  flaringTool: say.reliability.flaringTool,
  wrench: say.reliability.torqueWrench,
  technician: say.reliability.whoMadeIt,
  model: say.reliability.outdoorModel,
  refrigerant: say.reliability.refrigerant,
  month: say.reliability.monthItWasMade,
})

export const whatToDo = (): Record<ReliabilityDimension, string> => ({
  position: say.reliability.lookAtItsJoints,
  tubeOd: say.reliability.measureASampleFlare,
  kind: 'Ask for the maker’s instruction of that kind of joint, and watch the next one being made.',
  flareMethod: say.reliability.measureSampleFlaresMade,
  flaringTool: say.reliability.takeTheToolOut,
  wrench: say.reliability.haveTheWrenchChecked,
  technician: say.reliability.makeAJointTogether,
  model: say.reliability.lookAtHowThat,
  refrigerant: say.reliability.lookAtThePressure,
  month: say.reliability.lookAtWhatWas,
})
