// A borrowed gauge, whose owner brings the certificate afterwards: found in tolerance.

import { job } from '../language.ts'

export default job({
  title: 'A borrowed gauge, whose owner brings the certificate afterwards: found in tolerance',
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
    await it.nextDay()
    await it.confirms(borrowed, 'in-tolerance')
  },
  expects: { signable: true, 'instruments-confirmed': { 'Borrowed gauge': 'met' } },
})
