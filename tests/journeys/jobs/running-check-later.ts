// No power in the house yet: the running check is due in a week, and the manager lets it go.

import { job } from '../language.ts'

export default job({
  title: 'No power in the house yet: the running check is due in a week, and the manager lets it go',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests()
    await it.evacuates()
    await it.charges()
    await it.runs({
      notPossible: {
        reason: 'The house has no power yet.',
        dueAt: new Date(it.now + 7 * 86_400_000).toISOString(),
      },
    })
    await it.closesPorts()
  },
  expects: { signable: false, 'running-as-specified': 'open', 'charge-matches': 'met' },
})
