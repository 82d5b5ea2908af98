// A company that holds for half an hour: released, and the certificate says that this is looser.

import { job } from '../language.ts'

export default job({
  title: 'A company that holds for half an hour: released, and the certificate says that this is looser',
  policy: (builtIn) => ({ ...builtIn, pressure: { ...builtIn.pressure, holdS: 1800 } }),
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests({ minutes: 32 })
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
    await it.submits()
    await it.signsOff()
    const { look } = await import('../hands.ts')
    const { items } = await look(it.cast, it.cast.sam, `/jobs/${it.jobId}/certificates`)
    const copy = await look(it.cast, it.cast.sam, `/certificates/${items[0].id}.json`)
    const payload = JSON.parse(Buffer.from(copy.payload, 'base64url').toString())
    if (!/hold/i.test(JSON.stringify(payload.criteria ?? payload.policy ?? payload)))
      throw new Error('The certificate does not name the looser criterion.')
  },
  expects: { signable: true, 'standing-pressure-held': 'met' },
})
