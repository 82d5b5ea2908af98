// Pulled too far and left: recorded, and never conceded.

import { job } from '../language.ts'

export default job({
  title: 'Pulled too far and left: recorded, and never conceded',
  async tell(it) {
    await it.lays('Kitchen')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-gas']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-liquid', { torque: { value: 21, unit: 'N.m' } })
    await it.finishesTheRest()
    const joint = await it.joint('Kitchen indoor-liquid')
    await it.cannot(
      () => it.concedes('joint-torque-in-range', joint.id, 'It is only a little.'),
      /no-concession/,
    )
    await it.cannot(
      () =>
        it.submits([{ requirement: 'joint-torque-in-range', subjectId: joint.id, reason: 'Only a little.' }]),
      /no-concession/,
    )
  },
  expects: { signable: false, 'joint-torque-in-range': 'failed' },
})
