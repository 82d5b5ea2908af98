// Made in the morning, entered in the evening: the order of the work is the one that happened.

import { job } from '../language.ts'

export default job({
  title: 'Made in the morning, entered in the evening: the order of the work is the one that happened',
  async tell(it) {
    await it.lays('Kitchen')
    const morning = it.now
    it.later(9 * 60)
    for (const [index, end] of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'].entries())
      await it.makes(`Kitchen ${end}`, { performedAt: morning + 12 * (index + 1) * 60_000 })
    await it.finishesTheRest()
  },
  expects: { signable: true, 'order-of-work': 'met', 'standing-pressure-held': 'met' },
})
