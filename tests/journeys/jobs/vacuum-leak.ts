// The vacuum climbs on a straight line: a leak, which nobody can concede.

import { job } from '../language.ts'

export default job({
  title: 'The vacuum climbs on a straight line: a leak, which nobody can concede',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests()
    await it.evacuates({ shape: 'leaking' })
    const { subject } = await it.finding('vacuum-held')
    await it.cannot(() => it.concedes('vacuum-held', subject.id, 'Too late in the day.'), /no-concession/)
  },
  expects: {
    signable: false,
    'vacuum-held': 'failed',
    'ports-and-caps-closed': 'open',
    'charge-matches': 'open',
    'running-as-specified': 'open',
    'order-of-work': 'open',
  },
})
