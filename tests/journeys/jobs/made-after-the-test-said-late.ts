// A joint said to have been made after the test: entering it first does not help.

import { job } from '../language.ts'

export default job({
  title: 'A joint said to have been made after the test: entering it first does not help',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests()
    it.later(240)
    const joint = await it.joint('Kitchen indoor-gas')
    const again = await it.starts(joint.id, 'The nut was cracked.', { performedAt: it.now - 60 * 60_000 })
    await it.finishes('Kitchen indoor-gas', again, { performedAt: it.now - 50 * 60_000 })
  },
  expects: {
    signable: false,
    'standing-pressure-held': 'open',
    'joint-leak-checked': 'open',
    'ports-and-caps-closed': 'open',
    'vacuum-held': 'open',
    'charge-matches': 'open',
    'running-as-specified': 'open',
    'order-of-work': 'failed',
  },
})
