// A line laid but not joined today: left out of the job, joint by joint, with a reason.

import { job } from '../language.ts'

export default job({
  title: 'A line laid but not joined today: left out of the job, joint by joint, with a reason',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.lays('Attic')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'])
      await it.leavesOut(`Attic ${end}`, 'The attic unit is not delivered.')
    await it.checksEveryJoint((joint) => it.nameOf(joint).startsWith('Kitchen'))
    await it.pressureTests({ lines: ['Kitchen'] })
    await it.evacuates({ lines: ['Kitchen'] })
  },
  expects: {
    signable: false,
    'every-joint-made': 'met',
    'standing-pressure-held': { Kitchen: 'met' },
    'ports-and-caps-closed': 'open',
    'charge-matches': 'open',
    'running-as-specified': 'open',
    'order-of-work': 'open',
  },
})
