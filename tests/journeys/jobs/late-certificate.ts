// A borrowed gauge, whose owner brings the certificate afterwards: found in tolerance.

import { job } from '../language.ts'

export default job({
  title: 'A borrowed gauge, whose owner brings the certificate afterwards: found in tolerance',
  async tell(it) {
    const { addInstrument } = await import('../../../server/commands/instruments/add-instrument.ts')
    const { recordCalibration } = await import('../../../server/commands/instruments/record-calibration.ts')
    const borrowed = await it.cast.run(it.cast.sam, addInstrument, {
      kind: 'pressure-gauge',
      name: 'Borrowed gauge',
      serial: `late-${it.jobId.slice(-6)}`,
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
    it.nextDay()
    await it.cast.run(it.cast.sam, recordCalibration, {
      instrumentId: borrowed.id,
      at: new Date(it.now - 60_000).toISOString(),
      result: 'in-tolerance',
      basis: 'certificate',
      reference: 'C-77',
    })
  },
  expects: { signable: true, 'instruments-confirmed': { 'Borrowed gauge': 'met' } },
})
