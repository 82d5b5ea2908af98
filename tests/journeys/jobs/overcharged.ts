// More weighed in than the equipment may hold: nobody can concede it.

import { job } from '../language.ts'

export default job({
  title: 'More weighed in than the equipment may hold: nobody can concede it',
  onPages: 'without script',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests()
    await it.evacuates()
    await it.charges()
    await it.weighsIn(500)
    await it.runs()
    await it.closesPorts()
    const { subject } = await it.finding('charge-matches')
    await it.cannot(
      () => it.concedes('charge-matches', subject.id, 'It cools well.'),
      /no-concession|no form/,
    )
  },
  expects: { signable: false, 'charge-matches': 'failed' },
})
