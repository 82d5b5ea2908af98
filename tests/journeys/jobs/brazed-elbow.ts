// Flares at the ends and one brazed elbow on the way, in the loft.

import { job } from '../language.ts'

export default job({
  title: 'Flares at the ends and one brazed elbow on the way, in the loft',
  async tell(it) {
    await it.lays('Kitchen')
    await it.addsJoint('elbow in the loft', { on: 'Kitchen', kind: 'brazed', indoors: true })
    await it.makesEveryJoint()
    await it.finishesTheRest()
  },
  expects: {
    signable: true,
    'braze-purged': { 'Kitchen elbow in the loft': 'met' },
    'joint-leak-checked': 'met',
  },
})
