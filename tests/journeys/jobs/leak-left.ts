// A leak is found at a nut and nothing is done about it: nobody can concede that.

import { job } from '../language.ts'

export default job({
  title: 'A leak is found at a nut and nothing is done about it: nobody can concede that',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.finishesTheRest()
    await it.findsALeak('Kitchen outdoor-gas')
    const { id } = await it.joint('Kitchen outdoor-gas')
    await it.cannot(
      () => it.concedes('joint-leak-checked', id, 'It is only a bubble.'),
      /no-concession|no form/,
    )
    await it.checks('Kitchen outdoor-gas', it.byBubbles())
  },
  expects: { signable: false, 'joint-leak-checked': { 'Kitchen outdoor-gas': 'failed' } },
})
