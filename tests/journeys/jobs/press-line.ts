// A pressed line set: each joint to its mark and gauged, but one was never gauged.

import { job } from '../language.ts'

export default job({
  title: 'A pressed line set: each joint to its mark and gauged, but one was never gauged',
  async tell(it) {
    await it.brings('press-tool', 'Press tool 1', true)
    await it.lays('Kitchen', { jointKind: 'press' })
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-gas', { steps: { inspection: { diameterCheck: 'not-checked' } } })
    await it.finishesTheRest()
  },
  expects: {
    signable: false,
    'press-verified': { 'Kitchen indoor-gas': 'open' },
    'joint-torque-in-range': 'not-applicable',
  },
})
