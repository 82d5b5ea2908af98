// The outdoor unit is replaced under warranty: its two joints are made anew, the indoor ones checked again.

import { job } from '../language.ts'

export default job({
  title:
    'The outdoor unit is replaced under warranty: its two joints are made anew, the indoor ones checked again',
  async tell(it) {
    await it.installs('Kitchen')
    await it.comesBack('replacement')
    await it.recovers(1000)
    await it.replacesOutdoorUnit('OUT-NEW', 'The compressor was seized; the maker sent another unit.')
    for (const end of ['outdoor-liquid', 'outdoor-gas'])
      await it.remakes(`Kitchen ${end}`, 'The unit was replaced.')
    await it.finishesTheRest()
    await it.submits()
    await it.signsOff()
  },
  expects: {
    signable: true,
    'every-joint-made': { 'Kitchen outdoor-liquid': 'met', 'Kitchen outdoor-gas': 'met' },
    'joint-leak-checked': 'met',
    'standing-pressure-held': 'met',
    'vacuum-held': 'met',
  },
})
