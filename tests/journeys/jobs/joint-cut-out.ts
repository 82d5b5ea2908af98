// A coupling is cut out after the test, and the line is closed with one tube: the line is tested again.

import { job } from '../language.ts'

export default job({
  title:
    'A coupling is cut out after the test, and the line is closed with one tube: the line is tested again',
  async tell(it) {
    await it.lays('Kitchen')
    await it.addsJoint('coupling in the loft', { on: 'Kitchen', kind: 'flare', indoors: true })
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests()
    await it.cutsOut('Kitchen coupling in the loft', 'One tube goes through instead.')
    const { outcome } = await it.finding('standing-pressure-held')
    if (outcome !== 'open') throw new Error('The line was opened, so its test no longer counts.')
    await it.finishesTheRest()
  },
  expects: { signable: true, 'standing-pressure-held': 'met', 'vacuum-held': 'met' },
})
