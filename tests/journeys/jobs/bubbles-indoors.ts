// An indoor flare of a flammable system checked with bubbles alone: not enough.

import { job } from '../language.ts'

export default job({
  title: 'An indoor flare of a flammable system checked with bubbles alone: not enough',
  onPages: 'without script',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'])
      await it.checks(`Kitchen ${end}`, it.byBubbles())
    await it.pressureTests()
    await it.evacuates()
    await it.startsUp()
  },
  expects: {
    signable: false,
    'joint-leak-checked': { 'Kitchen indoor-liquid': 'open', 'Kitchen indoor-gas': 'open' },
  },
})
