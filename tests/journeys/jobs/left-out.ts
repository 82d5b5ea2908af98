// A line laid but not joined today: left out of the job, joint by joint, with a reason.

import { job } from '../language.ts'

export default job({
  title: 'A line laid but not joined today: left out of the job, joint by joint, with a reason',
  async tell(it) {
    const { leaveOutJoint } = await import('../../../server/commands/jobs/leave-out-joint.ts')
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.lays('Attic')
    await it.cast.clock.pass(60_000)
    for (const joint of await it.joints())
      if (it.nameOf(joint).startsWith('Attic'))
        await it.cast.run(it.by, leaveOutJoint, {
          jobId: it.jobId,
          jointId: joint.id,
          reason: 'The attic unit is not delivered.',
        })
    await it.checksEveryJoint((joint) => it.nameOf(joint).startsWith('Kitchen'))
    await it.pressureTests({ lines: ['Kitchen'] })
    await it.evacuates({ lines: ['Kitchen'] })
  },
  expects: {
    signable: false,
    'every-joint-made': 'met',
    'standing-pressure-held': { Kitchen: 'met' },
  },
})
