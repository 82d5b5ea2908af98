// Pulled too far: the nut is inspected and found sound, then torqued again in its range.

import { job } from '../language.ts'

export default job({
  title: 'Pulled too far: the nut is inspected and found sound, then torqued again in its range',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-gas', { torque: { value: 35, unit: 'ft.lbf' } })
    await it.cannot(
      () => it.torques('Kitchen indoor-gas', { value: 38, unit: 'N.m' }),
      /step-out-of-order|has no form/,
    )
    const joint = await it.joint('Kitchen indoor-gas')
    const makeId = joint.makes.find((make) => make.current)?.id ?? ''
    await it.step(joint.id, makeId, 'inspection', it.usual('inspection', joint, {}))
    await it.torques('Kitchen indoor-gas', { value: 38, unit: 'N.m' })
    await it.finishesTheRest()
  },
  expects: { signable: true, 'joint-torque-in-range': 'met' },
})
