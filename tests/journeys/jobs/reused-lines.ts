// Old lines in an old wall, which held R-22 before, flushed and joined anew.

import { job } from '../language.ts'

export default job({
  title: 'Old lines in an old wall, which held R-22 before, flushed and joined anew',
  kind: 'replacement',
  refrigerant: 'R-410A',
  async tell(it) {
    await it.lays('Parlour', {
      tubing: 'reused',
      previousRefrigerant: 'R-22',
      cleaning: 'Flushed with solvent, blown out with nitrogen.',
    })
    await it.makesEveryJoint()
    await it.checksEveryJoint(() => true)
    await it.pressureTests()
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
  },
  expects: { signable: true, 'line-set-within-limits': 'met', 'room-large-enough': 'not-applicable' },
})
