// Four zones behind a branch box, over three days, by two people.

import { job } from '../language.ts'

export default job({
  title: 'Four zones behind a branch box, over three days, by two people',
  sheet: { maxTotalLength: { value: 60, unit: 'm' } },
  async tell(it) {
    const { tess, olga } = it.cast
    await it.addsBranchBox('Landing box')
    await it.lays('Main line', { toBranch: 'Landing box', gas: 0.5, length: 9, rise: 3 })
    for (const room of ['Hall', 'Nursery']) await it.lays(room, { from: 'Landing box', length: 4 })
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'])
      await it.makes(`Main line ${end}`, end.endsWith('gas') ? { torque: { value: 55, unit: 'N.m' } } : {})
    await it.nextDay()
    it.by = olga
    for (const room of ['Kitchen', 'Attic']) await it.lays(room, { from: 'Landing box', length: 5 })
    for (const room of ['Hall', 'Nursery', 'Kitchen', 'Attic'])
      for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'])
        await it.makes(`${room} ${end}`)
    await it.nextDay()
    it.by = tess
    await it.checksEveryJoint()
    await it.pressureTests()
    await it.evacuates()
    await it.charges()
    await it.charges({
      direction: 'in',
      mass: { value: 390, unit: 'g' },
      scaleInstrumentId: it.instruments.scale,
      source: 'virgin',
    })
    await it.runs()
    await it.closesPorts()
  },
  expects: {
    signable: true,
    'joint-torque-in-range': 'met',
    'joint-leak-checked': 'met',
    'standing-pressure-held': 'met',
    'vacuum-held': 'met',
  },
})
