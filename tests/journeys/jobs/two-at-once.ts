// Two people at once, one outdoors and one indoors, each on a phone.

import { job } from '../language.ts'

export default job({
  title: 'Two people at once, one outdoors and one indoors, each on a phone',
  async tell(it) {
    const { tess, sam } = it.cast
    await it.lays('Kitchen')
    await Promise.all([
      it.makesInTurn(['Kitchen outdoor-liquid', 'Kitchen outdoor-gas'], { by: tess }),
      it.makesInTurn(['Kitchen indoor-liquid', 'Kitchen indoor-gas'], { by: sam }),
    ])
    await it.finishesTheRest()
    await it.submits()
    await it.cannot(() => it.signsOff(sam), /own-work/)
    await it.signsOff(it.cast.olga)
  },
  expects: { signable: true, 'every-joint-made': 'met', 'joint-torque-in-range': 'met' },
})
