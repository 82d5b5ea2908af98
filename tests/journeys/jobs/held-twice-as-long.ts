// A test that fell; no cause was found, but the next one held twice as long.

import { job } from '../language.ts'

export default job({
  title: 'A test that fell; no cause was found, but the next one held twice as long',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    const fell = await it.pressureTests({ to: 4.02 })
    await it.pressureTests({ repeatOf: fell, minutes: 130 })
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
  },
  expects: { signable: true, 'standing-pressure-held': 'met' },
})
