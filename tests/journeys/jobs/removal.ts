// A system is taken away: what was recovered is on record, and nothing else is asked for.

import { job } from '../language.ts'

export default job({
  title: 'A system is taken away: what was recovered is on record, and nothing else is asked for',
  async tell(it) {
    await it.installs('Kitchen')
    await it.comesBack('removal', 300)
    await it.recovers(980)
    await it.takesTheSystemAway('The house is pulled down.')
    await it.submits()
    await it.signsOff()
  },
  expects: {
    signable: true,
    'every-joint-made': 'not-applicable',
    'standing-pressure-held': 'not-applicable',
    'charge-matches': 'not-applicable',
    'running-as-specified': 'not-applicable',
    'order-of-work': 'not-applicable',
  },
})
