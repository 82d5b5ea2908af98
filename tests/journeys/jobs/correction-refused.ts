// A manager does not believe the correction: what was recorded first stands.

import { job } from '../language.ts'

export default job({
  title: 'A manager does not believe the correction: what was recorded first stands',
  async tell(it) {
    await it.lays('Kitchen')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-gas', { torque: { value: 20, unit: 'N.m' } })
    await it.finishesTheRest()
    it.later(60)
    const wrench = it.instruments.torqueWrench
    const reading = { indication: 'read', reading: { value: 38, unit: 'N.m' }, instrumentId: wrench }
    const asked = await it.corrects('Kitchen indoor-gas', 'torque', reading, 'It was 38, surely.')
    await it.decides(asked, 'refused', 'Nobody saw it. Pull it again.')
  },
  expects: { signable: false, 'joint-torque-in-range': { 'Kitchen indoor-gas': 'failed' } },
})
