// Charged, run and left with the caps off.

import { job } from '../language.ts'

export default job({
  title: 'Charged, run and left with the caps off',
  onPages: 'without script',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests()
    await it.evacuates()
    await it.charges()
    await it.runs()
  },
  expects: { signable: false, 'ports-and-caps-closed': 'open' },
})
