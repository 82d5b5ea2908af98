// A borrowed gauge that nobody has the certificate of.

import { job } from '../language.ts'

export default job({
  title: 'A borrowed gauge that nobody has the certificate of',
  async tell(it) {
    const borrowed = await it.brings('pressure-gauge', 'Borrowed gauge')
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests({ gauge: borrowed })
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
  },
  expects: {
    signable: false,
    'standing-pressure-held': 'met',
    'instruments-confirmed': { 'Borrowed gauge': 'open' },
  },
})
