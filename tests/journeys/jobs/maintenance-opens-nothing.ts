// A maintenance visit that opens nothing: what belongs to opened circuits does not apply.

import { job } from '../language.ts'

export default job({
  title: 'A maintenance visit that opens nothing: what belongs to opened circuits does not apply',
  kind: 'maintenance',
  async tell(it) {
    await it.runs()
  },
  expects: {
    signable: true,
    'every-joint-made': 'not-applicable',
    'standing-pressure-held': 'not-applicable',
    'vacuum-held': 'not-applicable',
    'charge-matches': 'not-applicable',
  },
})
