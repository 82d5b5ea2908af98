// Ports closed before refrigerant was weighed in through one of them: to be looked at again.

import { job } from '../language.ts'

export default job({
  title: 'Ports closed before refrigerant was weighed in through one of them: to be looked at again',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen', { length: 10 })
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests()
    await it.evacuates()
    await it.charges()
    await it.closesPorts()
    await it.weighsIn(50)
    await it.runs()
  },
  expects: { signable: false, 'ports-and-caps-closed': 'open', 'charge-matches': 'met' },
})
