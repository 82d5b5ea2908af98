// A system is taken away and nobody says where its refrigerant went: that holds the job.

import { job } from '../language.ts'

export default job({
  title: 'A system is taken away and nobody says where its refrigerant went: that holds the job',
  async tell(it) {
    await it.installs('Kitchen')
    await it.comesBack('removal', 300)
    await it.takesTheSystemAway('The house is pulled down.')
    await it.cannot(() => it.submits(), /hold-points/)
    await it.cannot(() => it.submits(), /hold-points/)
  },
  expects: {
    signable: false,
    'charge-matches': 'open',
    'every-joint-made': 'not-applicable',
    'standing-pressure-held': 'not-applicable',
    'running-as-specified': 'not-applicable',
    'order-of-work': 'not-applicable',
  },
})
