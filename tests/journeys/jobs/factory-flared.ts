// A line set that came flared from the factory: looked at as received, torqued and checked.

import { job } from '../language.ts'

export default job({
  title: 'A line set that came flared from the factory: looked at as received, torqued and checked',
  async tell(it) {
    await it.lays('Kitchen', { ends: 'factory' })
    await it.makesEveryJoint()
    await it.finishesTheRest()
  },
  expects: {
    signable: true,
    'every-joint-made': 'met',
    'joint-prepared': 'not-applicable',
    'flare-accepted': 'met',
    'joint-torque-in-range': 'met',
  },
})
