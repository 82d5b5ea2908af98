// A test that fell is run again until it holds, and nobody says what was wrong.

import { job } from '../language.ts'

export default job({
  title: 'A test that fell is run again until it holds, and nobody says what was wrong',
  onPages: 'without script',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests({ to: 4.02 })
    await it.pressureTests()
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
  },
  expects: { signable: false, 'standing-pressure-held': 'open' },
})
