// Two lines tested on two days with two gauges; a nut pulled up on one makes only its own test stale.

import { job } from '../language.ts'

export default job({
  title: 'Two lines tested on two days with two gauges; a nut pulled up on one makes only its own test stale',
  sheet: { maxTotalLength: { value: 40, unit: 'm' } },
  async tell(it) {
    const second = await it.brings('pressure-gauge', 'Gauge of the van', true)
    await it.lays('Hall')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'])
      await it.makes(`Hall ${end}`)
    await it.checksEveryJoint()
    await it.pressureTests({ lines: ['Hall'] })
    await it.nextDay()
    await it.lays('Attic')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'])
      await it.makes(`Attic ${end}`)
    await it.checksEveryJoint((joint) => it.nameOf(joint).startsWith('Attic'))
    await it.pressureTests({ lines: ['Attic'], gauge: second })
    await it.torques('Attic indoor-gas', { value: 39, unit: 'N.m' })
    await it.checks('Attic indoor-gas', it.byDetector())
    await it.evacuates()
    await it.charges()
    await it.weighsIn(90)
    await it.runs()
    await it.closesPorts()
  },
  expects: {
    signable: false,
    'standing-pressure-held': { Hall: 'met', Attic: 'open' },
    'order-of-work': 'failed',
  },
})
