// Between the work and the sign-off the wrench is found bad.

import { job } from '../language.ts'

export default job({
  title: 'Between the work and the sign-off the wrench is found bad',
  async tell(it) {
    const { recordCalibration } = await import('../../../server/commands/instruments/record-calibration.ts')
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.finishesTheRest()
    await it.submits()
    it.nextDay()
    await it.cast.run(it.cast.sam, recordCalibration, {
      instrumentId: it.instruments.torqueWrench,
      at: new Date(it.now).toISOString(),
      result: 'out-of-tolerance',
      basis: 'certificate',
      asFoundErrorPercent: 9,
      reference: 'C-78',
    })
    it.later(5)
    await it.cannot(() => it.signsOff(), /hold-points/)
  },
  expects: { signable: false, 'instruments-confirmed': { 'Torque wrench 1': 'failed' } },
})
