// Submitted, sent back with a reason, a nut looked at again, submitted and signed.

import { job } from '../language.ts'

export default job({
  title: 'Submitted, sent back with a reason, a nut looked at again, submitted and signed',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.finishesTheRest()
    await it.submits()
    await it.cannot(() => it.checks('Kitchen indoor-gas', it.byDetector()), /job-submitted|no form/)
    await it.sendsBack('Check the indoor gas nut once more: the photo shows oil.')
    await it.checks('Kitchen indoor-gas', it.byDetector())
    await it.submits()
    await it.signsOff()
    await it.cannot(() => it.checks('Kitchen indoor-gas', it.byDetector()), /job-sealed|no form/)
  },
  expects: { signable: true, 'joint-leak-checked': 'met' },
})
