// Who did the work signs it off: refused, whoever they are.

import { job } from '../language.ts'

export default job({
  title: 'Who did the work signs it off: refused, whoever they are',
  async tell(it) {
    it.by = it.cast.sam
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.finishesTheRest()
    await it.submits()
    await it.cannot(() => it.signsOff(it.cast.sam), /own-work/)
    await it.signsOff(it.cast.olga)
  },
  expects: { signable: true },
})
