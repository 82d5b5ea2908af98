// A nut read too low is brought up in the same making.

import { job } from '../language.ts'

export default job({
  title: 'A nut read too low is brought up in the same making',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-gas']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-liquid', { torque: { value: 12, unit: 'N.m' } })
    await it.torques('Kitchen indoor-liquid', { value: 141, unit: 'in.lbf' })
    await it.finishesTheRest()
  },
  expects: { signable: true, 'joint-torque-in-range': 'met' },
})
