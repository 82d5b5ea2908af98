// R-410A on a 3/4 in gas line, with the torque of the built-in set.

import { job } from '../language.ts'

export default job({
  title: 'R-410A on a 3/4 in gas line, with the torque of the built-in set',
  refrigerant: 'R-410A',
  sheet: { torque: [{ tubeOd: { value: 0.375, unit: 'in' }, low: 34, high: 42, unit: 'N.m' }] },
  async tell(it) {
    await it.lays('Shop', { liquid: 0.375, gas: 0.75 })
    for (const end of ['outdoor-liquid', 'indoor-liquid'])
      await it.makes(`Shop ${end}`, { torque: { value: 38, unit: 'N.m' } })
    for (const end of ['outdoor-gas', 'indoor-gas'])
      await it.makes(`Shop ${end}`, { torque: { value: 110, unit: 'N.m' } })
    await it.checksEveryJoint()
    await it.pressureTests()
    await it.evacuates()
  },
  expects: {
    signable: false,
    'joint-torque-in-range': 'met',
    'charge-matches': 'open',
    'ports-and-caps-closed': 'open',
    'running-as-specified': 'open',
    'order-of-work': 'open',
  },
})
