// R-290 in a small room, shown to be safe by the table in the maker’s own manual.

import { job } from '../language.ts'

export default job({
  title: 'R-290 in a small room, shown to be safe by the table in the maker’s own manual',
  refrigerant: 'R-290',
  sheet: {
    factoryCharge: { value: 400, unit: 'g' },
    maxCharge: { value: 500, unit: 'g' },
    testPressureGauge: { value: 3, unit: 'MPa' },
    maxPressureGauge: { value: 3.2, unit: 'MPa' },
  },
  async tell(it) {
    await it.lays('Study', { room: 9, mounting: 'floor', table: { document: 'LS manual', page: '31' } })
    await it.makesEveryJoint()
    await it.checksEveryJoint()
    await it.pressureTests({ from: 3.05 })
    await it.evacuates()
    await it.startsUp()
  },
  expects: { signable: true, 'room-large-enough': 'met' },
})
