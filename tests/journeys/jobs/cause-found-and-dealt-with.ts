// A test that fell; the hose core was replaced, and the next test holds.

import { job } from '../language.ts'

export default job({
  title: 'A test that fell; the hose core was replaced, and the next test holds',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    const fell = await it.pressureTests({ to: 4.02 })
    await it.pressureTests({ repeatOf: fell, repeatCause: 'The core in the test hose leaked; replaced.' })
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
  },
  expects: { signable: true, 'standing-pressure-held': 'met', 'vacuum-held': 'met' },
})
