// A company that wants to be sure by the wrench’s own error: near the limit is not proven.

import { job } from '../language.ts'

export default job({
  title: 'A company that wants to be sure by the wrench’s own error: near the limit is not proven',
  policy: (builtIn) => ({ ...builtIn, decisionRule: 'guarded' }),
  async tell(it) {
    await it.lays('Kitchen')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-gas', { torque: { value: 41.5, unit: 'N.m' } })
    await it.finishesTheRest()
  },
  expects: { signable: false, 'joint-torque-in-range': 'failed' },
})
