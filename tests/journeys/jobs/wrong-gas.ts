// Tested with air: recorded as it happened, and never a pass.

import { job } from '../language.ts'

export default job({
  title: 'Tested with air: recorded as it happened, and never a pass',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests({ medium: 'air' })
  },
  expects: {
    signable: false,
    'standing-pressure-held': 'failed',
    'ports-and-caps-closed': 'open',
    'vacuum-held': 'open',
    'charge-matches': 'open',
    'running-as-specified': 'open',
    'order-of-work': 'open',
  },
})
