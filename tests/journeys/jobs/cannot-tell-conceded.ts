// The sun came out during the hold: the test can not tell, and the manager releases it with a reason.

import { job } from '../language.ts'

export default job({
  title: 'The sun came out during the hold: the test can not tell, and the manager releases it with a reason',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests({ fromC: 14, toC: 26, to: 4.34 })
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
    const { subject, outcome } = await it.finding('standing-pressure-held')
    if (outcome !== 'open') throw new Error(`Expected a test that can not tell, found ${outcome}.`)
    await it.submits([
      { requirement: 'standing-pressure-held', subjectId: subject.id, reason: 'No shade on this wall.' },
    ])
    await it.concedes('standing-pressure-held', subject.id, 'Every joint was checked by bubbles at pressure.')
  },
  expects: { signable: true, 'standing-pressure-held': 'conceded' },
})
