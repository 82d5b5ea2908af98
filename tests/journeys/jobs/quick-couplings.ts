// A charged quick-coupling line set: torqued and checked, with nothing to pressure-test or evacuate.

import { job } from '../language.ts'

export default job({
  title: 'A charged quick-coupling line set: torqued and checked, with nothing to pressure-test or evacuate',
  sheet: { chargeScheme: 'total-length', prechargedLength: { value: 10, unit: 'm' } },
  async tell(it) {
    await it.lays('Kitchen', { jointKind: 'quick-coupling' })
    await it.makesEveryJoint()
    await it.charges()
    await it.checksEveryJoint()
    await it.runs()
    await it.closesPorts()
  },
  expects: {
    signable: true,
    'standing-pressure-held': 'not-applicable',
    'vacuum-held': 'not-applicable',
    'flare-accepted': 'not-applicable',
  },
})
