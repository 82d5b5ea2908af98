// R-290 in too small a room: no concession, another method has to show that it is safe.

import { job } from '../language.ts'

export default job({
  title: 'R-290 in too small a room: no concession, another method has to show that it is safe',
  refrigerant: 'R-290',
  sheet: {
    factoryCharge: { value: 400, unit: 'g' },
    maxCharge: { value: 500, unit: 'g' },
    testPressureGauge: { value: 3, unit: 'MPa' },
    maxPressureGauge: { value: 3.2, unit: 'MPa' },
  },
  async tell(it) {
    await it.lays('Study', { room: 9, mounting: 'floor' })
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests({ from: 3.05 })
    await it.evacuates()
    await it.charges()
    await it.runs()
    await it.closesPorts()
    const { subject } = await it.finding('room-large-enough')
    await it.cannot(
      () => it.concedes('room-large-enough', subject.id, 'They keep the window open.'),
      /no-concession/,
    )
  },
  expects: { signable: false, 'room-large-enough': 'failed' },
})
