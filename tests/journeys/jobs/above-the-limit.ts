// Filled above what the plate allows: the test is void, and is conceded by nobody.

import { job } from '../language.ts'

export default job({
  title: 'Filled above what the plate allows: the test is void, and is conceded by nobody',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests({ raise: 4.9, from: 4.9, to: 4.9 })
    const { subject, concedable } = await it.finding('standing-pressure-held')
    if (concedable) throw new Error('A test above 1.1 times the limit can not be conceded.')
    await it.cannot(
      () => it.concedes('standing-pressure-held', subject.id, 'It looked fine.'),
      /no-concession|can not be conceded|has no form/,
    )
  },
  expects: {
    signable: false,
    'standing-pressure-held': 'open',
    'ports-and-caps-closed': 'open',
    'vacuum-held': 'open',
    'charge-matches': 'open',
    'running-as-specified': 'open',
    'order-of-work': 'open',
  },
})
