// Between the work and the sign-off the wrench is found bad.

import { job } from '../language.ts'

export default job({
  title: 'Between the work and the sign-off the wrench is found bad',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.finishesTheRest()
    await it.submits()
    await it.nextDay()
    await it.confirms(it.instruments.torqueWrench, 'out-of-tolerance', 'certificate', 9)
    it.later(5)
    await it.cannot(() => it.signsOff(), /hold-points/)
  },
  expects: { signable: false, 'instruments-confirmed': { 'Torque wrench 1': 'failed' } },
})
