// A slip of the thumb, mended within ten minutes by the same person, stands at once.

import { job } from '../language.ts'

export default job({
  title: 'A slip of the thumb, mended within ten minutes by the same person, stands at once',
  async tell(it) {
    await it.lays('Kitchen')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-gas', { torque: { value: 3.8, unit: 'N.m' } })
    const wrench = it.instruments.torqueWrench
    const reading = { indication: 'read', reading: { value: 38, unit: 'N.m' }, instrumentId: wrench }
    await it.corrects('Kitchen indoor-gas', 'torque', reading, 'The comma slipped.')
    await it.finishesTheRest()
  },
  expects: { signable: true, 'joint-torque-in-range': 'met' },
})
