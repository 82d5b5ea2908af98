// A nut pulled up after the pressure test: the test no longer speaks for that line.

import { job } from '../language.ts'

export default job({
  title: 'A nut pulled up after the pressure test: the test no longer speaks for that line',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests()
    await it.torques('Kitchen indoor-gas', { value: 39, unit: 'N.m' })
    await it.checks('Kitchen indoor-gas', it.byDetector())
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
  },
  expects: {
    signable: false,
    'joint-torque-in-range': 'met',
    'joint-leak-checked': 'met',
    'standing-pressure-held': 'open',
    'vacuum-held': 'met',
    'order-of-work': 'failed',
  },
})
