// No room for the wrench: turned by the angle in the manual, witnessed, bubbled, and conceded.

import { job } from '../language.ts'

export default job({
  title: 'No room for the wrench: turned by the angle in the manual, witnessed, bubbled, and conceded',
  async tell(it) {
    await it.lays('Kitchen')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-gas', { before: 'torque' })
    const joint = await it.joint('Kitchen indoor-gas')
    const makeId = joint.makes.find((make) => make.current)?.id ?? ''
    await it.step(joint.id, makeId, 'torque', {
      indication: 'angle-by-manual',
      angleDegrees: 75,
      reason: 'The wrench does not fit behind the unit.',
      witnessedBy: it.cast.olga.crewId,
    })
    await it.checksEveryJoint()
    await it.checks('Kitchen indoor-gas', it.byBubbles())
    await it.checks('Kitchen indoor-gas', it.byDetector())
    await it.pressureTests()
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
    await it.submits([
      { requirement: 'joint-torque-in-range', subjectId: joint.id, reason: 'No room for a wrench.' },
    ])
    await it.concedes('joint-torque-in-range', joint.id, 'Witnessed, and no bubbles at pressure.')
  },
  expects: { signable: true, 'joint-torque-in-range': { 'Kitchen indoor-gas': 'conceded' } },
})
