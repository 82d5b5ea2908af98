// A brazed line: nitrogen flowed at every joint but one.

import { job } from '../language.ts'

export default job({
  title: 'A brazed line: nitrogen flowed at every joint but one',
  async tell(it) {
    await it.lays('Kitchen', { jointKind: 'brazed' })
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-gas', { steps: { brazing: { nitrogenFlow: false } } })
    await it.finishesTheRest()
  },
  expects: {
    signable: false,
    'braze-purged': 'failed',
    'joint-torque-in-range': 'not-applicable',
    'standing-pressure-held': 'met',
  },
})
