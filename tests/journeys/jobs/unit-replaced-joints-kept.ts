// The outdoor unit is replaced and its old flares are put back on: they have to be made anew.

import { job } from '../language.ts'

export default job({
  title: 'The outdoor unit is replaced and its old flares are put back on: they have to be made anew',
  async tell(it) {
    await it.installs('Kitchen')
    await it.comesBack('replacement')
    await it.recovers(1000)
    await it.replacesOutdoorUnit('OUT-NEXT', 'The board burnt out.')
    await it.finishesTheRest()
  },
  expects: {
    signable: false,
    'every-joint-made': { 'Kitchen outdoor-liquid': 'open', 'Kitchen outdoor-gas': 'open' },
  },
})
