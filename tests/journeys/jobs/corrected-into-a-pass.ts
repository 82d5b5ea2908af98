// A failed torque is corrected into a pass an hour later: it waits for a manager, the original beside it.

import { job } from '../language.ts'

export default job({
  title:
    'A failed torque is corrected into a pass an hour later: it waits for a manager, the original beside it',
  async tell(it) {
    await it.lays('Kitchen')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-gas', { torque: { value: 20, unit: 'N.m' } })
    await it.finishesTheRest()
    it.later(60)
    const wrench = it.instruments.torqueWrench
    const reading = { indication: 'read', reading: { value: 38, unit: 'N.m' }, instrumentId: wrench }
    const asked = await it.corrects('Kitchen indoor-gas', 'torque', reading, 'It was 38; I typed 20.')
    const { outcome } = await it.finding('joint-torque-in-range', (await it.joint('Kitchen indoor-gas')).tag)
    if (outcome !== 'failed') throw new Error('It counts only once a manager has agreed.')
    await it.cannot(() => it.submits(), /hold-points/)
    await it.decides(asked, 'accepted', 'The photo of the wrench shows 38.')
  },
  expects: { signable: true, 'joint-torque-in-range': 'met' },
})
