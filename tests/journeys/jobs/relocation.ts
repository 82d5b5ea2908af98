// The indoor unit moves to another room: old line retired, a new one laid from the same outdoor unit.

import { job } from '../language.ts'

export default job({
  title: 'The indoor unit moves to another room: old line retired, a new one laid from the same outdoor unit',
  async tell(it) {
    await it.installs('Kitchen')
    await it.comesBack('relocation')
    await it.recovers(1000)
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'])
      await it.cutsOut(`Kitchen ${end}`, 'The old line is taken out.')
    for (const port of ['outdoor-liquid-cap', 'outdoor-gas-cap', 'outdoor-gas-port'])
      await it.cutsOut(`Kitchen ${port}`, 'Listed anew with the new line.')
    await it.lays('Study', { length: 7 })
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'])
      await it.makes(`Study ${end}`)
    await it.checksEveryJoint()
    await it.pressureTests({ lines: ['Study'] })
    await it.evacuates({ lines: ['Study'] })
    await it.weighsIn(1000)
    await it.runs()
    await it.closesPorts()
  },
  expects: {
    signable: true,
    'standing-pressure-held': { Study: 'met' },
    'every-joint-made': 'met',
  },
})
