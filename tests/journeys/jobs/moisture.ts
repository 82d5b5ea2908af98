// The vacuum climbs and stops at 4000 micron: moisture.

import { job } from '../language.ts'

export default job({
  title: 'The vacuum climbs and stops at 4000 micron: moisture',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests()
    await it.evacuates({ shape: 'moist', minutes: 30 })
  },
  expects: {
    signable: false,
    'standing-pressure-held': 'met',
    'vacuum-held': 'failed',
    'ports-and-caps-closed': 'open',
    'charge-matches': 'open',
    'running-as-specified': 'open',
    'order-of-work': 'open',
  },
})
