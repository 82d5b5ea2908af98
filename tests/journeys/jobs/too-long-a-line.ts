// A line longer than the sheet allows: the charge no longer fits either.

import { job } from '../language.ts'

export default job({
  title: 'A line longer than the sheet allows: the charge no longer fits either',
  onPages: 'without script',
  async tell(it) {
    await it.lays('Barn', { length: 24 })
    await it.makesEveryJoint()
    await it.finishesTheRest()
  },
  expects: { signable: false, 'line-set-within-limits': 'failed', 'charge-matches': 'failed' },
})
