// A borrowed gauge that nobody has the certificate of.

import { job } from '../language.ts'

export default job({
  title: 'A borrowed gauge that nobody has the certificate of',
  async tell(it) {
    const { addInstrument } = await import('../../../server/commands/instruments/add-instrument.ts')
    const borrowed = await it.cast.run(it.cast.sam, addInstrument, {
      kind: 'pressure-gauge',
      name: 'Borrowed gauge',
      serial: `borrowed-${it.jobId.slice(-6)}`,
      accuracyPercent: 0.5,
      fullScale: { value: 6, unit: 'MPa' },
      resolution: { value: 1, unit: 'kPa' },
    })
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests({ gauge: borrowed.id })
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
  },
  expects: {
    signable: false,
    'standing-pressure-held': 'met',
    'instruments-confirmed': { 'Borrowed gauge': 'open' },
  },
})
