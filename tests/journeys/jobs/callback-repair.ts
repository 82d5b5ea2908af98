// Called back to a leak at the indoor gas nut: recovered, cut off, made anew, tested, evacuated and charged.

import { job } from '../language.ts'

export default job({
  title:
    'Called back to a leak at the indoor gas nut: recovered, cut off, made anew, tested, evacuated and charged',
  onPages: 'browser too',
  async tell(it) {
    await it.installs('Kitchen')
    await it.comesBack('repair', 120)
    await it.findsALeak('Kitchen indoor-gas', 'flare face')
    await it.recovers(620)
    await it.remakes('Kitchen indoor-gas', 'It leaked: a score across the flare.')
    await it.checksEveryJoint()
    await it.pressureTests()
    // What leaked away nobody weighed: evacuated with the outdoor unit, the count begins from nothing.
    await it.evacuates({ throughOutdoorUnit: true })
    await it.weighsIn(1000)
    await it.runs()
    await it.closesPorts()
    await it.submits()
    await it.signsOff()
  },
  expects: {
    signable: true,
    'every-joint-made': { 'Kitchen indoor-gas': 'met' },
    'joint-leak-checked': 'met',
    'standing-pressure-held': 'met',
  },
})
